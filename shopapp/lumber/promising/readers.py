"""What is reserved and out for a demand, and which pieces it could have, in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from django.db.models import Q

from planner.measures import board_feet
from shopapp.lumber.looks import WoodSeen
from shopapp.lumber.models import Demand, StockEntry, StockMove, StockPiece

# How many free pieces, and how many promised to others, are shown at once; a list to be narrowed, not to be leafed.
A_LOOK = 60
A_GLANCE = 20
State = StockPiece.State
_NOUGHT = Fraction(0)


def feet_of(piece: StockPiece) -> Fraction:
    return board_feet(piece.thickness.mm * piece.width.mm * piece.length.mm)


def demand_of(key: str) -> Demand | None:
    """The demand of that key, if wood was ever wanted under it. One query."""
    return Demand.objects.filter(key=key).first()


@dataclass(frozen=True)
class Out:
    """A piece that was taken, and what came back of it."""

    piece: StockPiece
    back: list[StockPiece]

    @property
    def feet(self) -> Fraction:
        """Board feet of it that are still out."""
        return feet_of(self.piece) - sum((feet_of(piece) for piece in self.back), _NOUGHT)


@dataclass(frozen=True)
class Promised:
    """What a demand holds: pieces reserved, and pieces out."""

    reserved: list[StockPiece]
    out: list[Out]


def promised_to(demand: Demand | None) -> Promised:
    """At most two queries."""
    if demand is None:
        return Promised([], [])
    pieces = StockPiece.objects.filter(demand=demand, state__in=(State.HERE, State.TAKEN)).order_by("wood", "mark")
    reserved, taken = [], []
    for piece in pieces:
        (reserved if piece.state == State.HERE else taken).append(piece)
    back: dict[int, list[StockPiece]] = {piece.pk: [] for piece in taken}
    if taken:
        # Sizes as they came back: what was done with an offcut since is the rack's concern.
        came = StockMove.objects.filter(
            entry__kind=StockEntry.Kind.RETURNED, before={}, entry__undone_by=None, piece__parent__in=taken
        ).exclude(after={})
        for move in came.select_related("piece").order_by("pk"):
            back[move.piece.parent_id].append(move.piece)
    return Promised(reserved, [Out(piece, back[piece.pk]) for piece in taken])


@dataclass(frozen=True)
class WoodWanted:
    """One wood of a demand in board feet: needed (None where nobody said), reserved, out, and still to be chosen."""

    wood: WoodSeen
    need: Fraction | None
    reserved: Fraction
    pieces_reserved: int
    out: Fraction
    pieces_out: int

    @property
    def still(self) -> Fraction | None:
        return None if self.need is None else max(_NOUGHT, self.need - self.reserved - self.out)


def woods_wanted(needs: Mapping[str, Fraction], promised: Promised, seen: Mapping[str, WoodSeen]) -> list[WoodWanted]:
    """Needed woods first, the most of it before; then what is held besides. No query."""
    held = [*(piece.wood for piece in promised.reserved), *(out.piece.wood for out in promised.out)]
    order = [*sorted(needs, key=lambda wood: -needs[wood]), *sorted(set(held) - set(needs))]
    return [
        WoodWanted(
            seen[wood],
            needs.get(wood),
            sum((feet_of(piece) for piece in promised.reserved if piece.wood == wood), _NOUGHT),
            sum(piece.wood == wood for piece in promised.reserved),
            sum((out.feet for out in promised.out if out.piece.wood == wood), _NOUGHT),
            sum(out.piece.wood == wood for out in promised.out),
        )
        for wood in order
    ]


@dataclass(frozen=True)
class OfWood:
    """Pieces of one wood, as they come."""

    wood: WoodSeen
    pieces: list[StockPiece]


def of_woods(pieces: Iterable[StockPiece], seen: Mapping[str, WoodSeen]) -> list[OfWood]:
    groups: dict[str, OfWood] = {}
    for piece in pieces:
        groups.setdefault(piece.wood, OfWood(seen[piece.wood], [])).pieces.append(piece)
    return list(groups.values())


@dataclass(frozen=True)
class ToChoose:
    """Pieces that are free, the first of them, and a few that are promised to others; ``more`` are not shown."""

    free: list[StockPiece]
    others: list[StockPiece]
    more: int


def to_choose(
    asked: Mapping[str, object], woods: Iterable[str], besides: Demand | None, ticked: Iterable[int]
) -> ToChoose:
    """Free pieces by what is asked, longest first, or the shortest that do where a least length is asked; those that
    are ticked are among them whatever is asked. Three queries at most."""
    here = StockPiece.objects.filter(state=State.HERE, set_aside="")
    narrowed = here
    if asked.get("wood") and asked["wood"] != "every":
        narrowed = narrowed.filter(wood=asked["wood"])
    elif not asked.get("wood") and (wanted := list(woods)):
        narrowed = narrowed.filter(wood__in=wanted)
    if asked.get("least"):
        narrowed = narrowed.filter(length__gte=asked["least"])
    order = ("wood", "length" if asked.get("least") else "-length", "mark")
    free = list(narrowed.filter(demand=None).order_by(*order)[: A_LOOK + 1])
    more = narrowed.filter(demand=None).count() - A_LOOK if len(free) > A_LOOK else 0
    free = free[:A_LOOK]
    if missing := set(ticked) - {piece.pk for piece in free}:
        free += here.filter(demand=None, pk__in=missing).order_by(*order)
    promised = narrowed.filter(~Q(demand=besides) if besides else Q()).exclude(demand=None)
    others = list(promised.select_related("demand").order_by(*order)[:A_GLANCE])
    return ToChoose(free, others, more)
