"""Where the wood of a kept cut plan is: what was taken is in parts, back on the rack, still to cut, or gone.

All of it is reckoned from what the rack wrote of its pieces and from the cuts that were ticked. Parts count at the size
they are sawn to after gauging; what is neither in them nor anywhere else went in kerfs, shavings, trims and waste.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields
from decimal import Decimal
from fractions import Fraction

from planner.measures import ZERO, Length, board_feet, volume_mm3
from shopapp.lumber.models import StockEntry, StockMove, StockPiece

from .planning import BoardToCut, PlannedOffcut
from .standing import Standing

Kind = StockEntry.Kind
_NOUGHT = Fraction(0)


@dataclass(frozen=True)
class Share:
    """Cubic millimetres: ``out`` was taken; ``parts``, ``back`` and ``waiting`` (offcuts still to be brought back) and
    ``uncut`` are where it is now."""

    out: Fraction = _NOUGHT
    parts: Fraction = _NOUGHT
    back: Fraction = _NOUGHT
    waiting: Fraction = _NOUGHT
    uncut: Fraction = _NOUGHT

    def __add__(self, other: Share) -> Share:
        return Share(*(getattr(self, one.name) + getattr(other, one.name) for one in fields(self)))

    @property
    def gone(self) -> Fraction:
        """In kerfs, shavings, trims and what was thrown away."""
        return self.out - self.parts - self.back - self.waiting - self.uncut

    @property
    def feet(self) -> dict[str, Fraction]:
        """The same in board feet."""
        return {name: board_feet(getattr(self, name)) for name in ("out", "parts", "back", "waiting", "uncut", "gone")}


@dataclass(frozen=True)
class Moved:
    """What the rack wrote of the boards that are out: their worth when they were taken, and what came back of each."""

    taken: Mapping[int, Decimal] = field(default_factory=dict)
    back: Mapping[int, Sequence[StockMove]] = field(default_factory=dict)

    @property
    def worth_out(self) -> Decimal:
        return sum(self.taken.values(), Decimal(0))

    @property
    def worth_back(self) -> Decimal:
        return sum((move.worth for moves in self.back.values() for move in moves), Decimal(0))

    @property
    def worth_used(self) -> Decimal:
        return self.worth_out - self.worth_back


def moves_of(outs: Sequence[StockPiece]) -> Moved:
    """Two queries, none where nothing is out."""
    if not outs:
        return Moved()
    took = StockMove.objects.filter(piece__in=outs, entry__kind=Kind.TAKEN).order_by("pk")
    # A piece that was taken, came back whole and was taken again is worth what it was the last time.
    taken = dict(took.values_list("piece_id", "worth"))
    back: dict[int, list[StockMove]] = {}
    # An offcut came with nothing before it; that another job took and cut it since is a move with nothing after it.
    came = StockMove.objects.filter(
        entry__kind=Kind.RETURNED, entry__undone_by=None, piece__parent__in=outs, before={}
    ).exclude(after={})
    for move in came.select_related("piece").order_by("pk"):
        back.setdefault(move.piece.parent_id, []).append(move)
    return Moved(taken, back)


def size_came(move: StockMove) -> tuple[Length, Length, Length]:
    """What a piece measured when it came, whatever was done with it since."""
    thickness, width, length = (Length.from_nm(move.after[side]) for side in ("thickness", "width", "length"))
    return thickness, width, length


def share_of(
    board: BoardToCut, piece: StockPiece, back: Sequence[StockMove], standing: Standing, resaw_kerf: Length = ZERO
) -> Share:
    """The balance of one board that is out."""
    whole = volume_mm3(piece.thickness, piece.width, piece.length)
    done = [one for one in board.ticks if (board.mark, one.number) in standing.cuts]
    came = sum((volume_mm3(*size_came(move)) for move in back), _NOUGHT)
    if not done:
        return Share(out=whole, back=came, uncut=whole - came)
    left = (one for one in board.ticks if (board.mark, one.number) not in standing.cuts)
    return Share(
        out=whole,
        parts=sum((one.parts_mm3 for one in done), _NOUGHT),
        back=came,
        waiting=sum((volume_of(one, piece, resaw_kerf) for one in waiting_of(board, standing)), _NOUGHT),
        uncut=sum((volume_mm3(piece.thickness, piece.width, one.length) for one in left), _NOUGHT),
    )


def waiting_of(board: BoardToCut, standing: Standing) -> list[PlannedOffcut]:
    """Planned offcuts that are there by now and were neither brought back nor thrown away: of a rough length that was
    ticked, and of one kept whole once anything of its board was cut."""
    cut = {number for mark, number in standing.cuts if mark == board.mark}
    ripped = {one.number for one in board.ticks}
    return [
        one
        for one in board.offcuts
        if (one.rough in cut or (cut and one.rough not in ripped))
        and (board.mark, one.rough, one.kind, one.number) not in standing.settled
    ]


def size_of(offcut: PlannedOffcut, piece: StockPiece, resaw_kerf: Length = ZERO) -> tuple[Length, Length, Length]:
    """Thickness, width and length an offcut has when it is there. The plan counts an end without its edges, for it
    would be straightened before it is used; nobody has straightened it yet, so it is as wide as its board."""
    width = piece.width if offcut.milled is None else offcut.width
    rough = (piece.thickness - resaw_kerf) / 2 if offcut.kind == "layer" else piece.thickness
    return offcut.milled or rough, width, offcut.length


def volume_of(offcut: PlannedOffcut, piece: StockPiece, resaw_kerf: Length = ZERO) -> Fraction:
    return volume_mm3(*size_of(offcut, piece, resaw_kerf))
