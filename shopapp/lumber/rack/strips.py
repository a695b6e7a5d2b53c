"""What the free pieces of the rack give: as bare numbers, and as length of strip of every wood."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import BigIntegerField, Case, ExpressionWrapper, F, IntegerField, When

from planner.measures import Length, format_length
from shopapp.lumber.models import StockPiece
from shopapp.workshop.models import Workshop

from . import planning


def free_pieces(longest: Length | None = None) -> tuple[tuple, ...]:
    """Every piece that is on the rack, promised to nobody and not set aside, no longer than ``longest`` if given:
    (pk, wood, thickness, width, length, surfaced), lengths as whole nanometres, nothing made into more than a number,
    for twenty thousand are read while somebody waits. One query."""
    free = StockPiece.objects.filter(state=StockPiece.State.HERE, demand=None, set_aside="")
    if longest is not None:
        free = free.filter(length__lte=longest)
    bare = [ExpressionWrapper(F(side), BigIntegerField()) for side in ("thickness", "width", "length")]
    surfaced = Case(When(surfaced=True, then=1), default=0, output_field=IntegerField())
    return tuple(free.order_by("pk").values_list("pk", "wood", *bare, surfaced))


@dataclass(frozen=True)
class FreeStrip:
    """Length of strip by wood, for tiles of one size, and in ``words`` how it was counted. A wood that is not named
    has none. Without any piece in the book nothing is known: ``of`` is None and ``words`` are empty."""

    of: dict[str, Length] | None
    words: str

    def as_answer(self) -> dict[str, object]:
        """As the bench reads it: whole millimetres by wood, or None."""
        mm = None if self.of is None else {wood: str(int(length.mm)) for wood, length in self.of.items()}
        return {"mm": mm, "words": self.words}


def free_strip(pitch: Length, thickness: Length, workshop: Workshop) -> FreeStrip:
    """What the free pieces would give, ripped for rows of tiles of this size. Two queries."""
    pieces = free_pieces()
    if not StockPiece.objects.exists():
        return FreeStrip(None, "")
    tile, board = (format_length(length, workshop.unit) for length in (pitch, thickness))
    return FreeStrip(
        planning.strip_by_wood(pieces, pitch, thickness, workshop),
        f"Free is the strip that the free boards on the rack would give, all of them ripped for tiles of {tile} in a "
        f"board {board} thick, your kerfs, trims and grip left out. Knots and checks are not taken off.",
    )
