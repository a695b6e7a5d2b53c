"""Pieces of the rack as a cut plan takes them, and what became of them since."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import Q

from planner.measures import Length, format_length
from shopapp.lumber.models import StockPiece

# A search looks at no more boards of one wood than a maker could lay out.
MOST_OF_A_WOOD = 60
SIDES = ("thickness", "width", "length")
State = StockPiece.State


@dataclass(frozen=True)
class ToCut:
    """The pieces a plan may use, and by wood how many more are free than are looked at."""

    pieces: list[StockPiece]
    more: Mapping[str, int]


def free_for(woods: Iterable[str], key: str) -> ToCut:
    """Pieces on the rack of these woods that nobody else was promised: those promised to ``key`` first, then offcuts
    and boards, the largest before. One query."""
    free = (
        StockPiece.objects.filter(state=State.HERE, set_aside="", wood__in=set(woods))
        .filter(Q(demand=None) | Q(demand__key=key))
        .select_related("lot", "demand")
    )
    by_wood: dict[str, list[StockPiece]] = {}
    for piece in free:
        by_wood.setdefault(piece.wood, []).append(piece)
    found, more = [], {}
    for wood, pieces in by_wood.items():
        pieces.sort(key=lambda one: (one.demand_id is None, -(one.width.mm * one.length.mm), one.mark))
        found += pieces[:MOST_OF_A_WOOD]
        if len(pieces) > MOST_OF_A_WOOD:
            more[wood] = len(pieces) - MOST_OF_A_WOOD
    return ToCut(found, more)


def as_seen(piece: StockPiece) -> dict[str, object]:
    """A piece as a search and a sheet keep it; lengths in nanometres."""
    return {
        "mark": piece.mark,
        "pk": piece.pk,
        "version": piece.edit_version,
        "wood": piece.wood,
        **{side: getattr(piece, side).nm for side in SIDES},
        "surfaced": piece.surfaced,
        "worth": str(piece.worth),
        "shade": piece.lot.shade,
        "offcut": piece.parent_id is not None,
    }


def what_changed(seen: Sequence[Mapping], key: str, unit: str, *, lock: bool = False) -> dict[str, str]:
    """Of each piece that cannot be cut as it was planned any more, in a sentence, by its mark. One query.

    A piece that was only carried to another place is as it was.
    """
    rows = StockPiece.objects.filter(pk__in=[one["pk"] for one in seen]).select_related("demand")
    if lock:
        rows = rows.select_for_update(of=("self",))
    now = {piece.pk: piece for piece in rows.order_by("pk")}
    told = {}
    for one in seen:
        if words := _changed(one, now.get(one["pk"]), key, unit):
            told[one["mark"]] = words
    return told


def _changed(seen: Mapping, piece: StockPiece | None, key: str, unit: str) -> str:
    mark = seen["mark"]
    if piece is None:
        return f"{mark} is not in the book any more."
    mine = piece.demand is not None and piece.demand.key == key
    if piece.state != State.HERE:
        by = f" for {piece.demand.label}" if piece.demand else ""
        return f"{mark} is not on the rack any more: {piece.get_state_display()}{by}."
    if piece.demand is not None and not mine:
        return f"{mark} was promised to {piece.demand.label} meanwhile."
    if piece.set_aside:
        return f"{mark} was set aside meanwhile: {piece.set_aside}."
    if any(getattr(piece, side).nm != seen[side] for side in SIDES) or piece.surfaced != seen["surfaced"]:
        was = _size((Length.from_nm(seen[side]) for side in SIDES), seen["surfaced"], unit)
        now = _size((getattr(piece, side) for side in SIDES), piece.surfaced, unit)
        return f"{mark} was {was} and is {now} now."
    return ""


def _size(lengths: Iterable[Length], surfaced: bool, unit: str) -> str:
    sizes = " by ".join(format_length(length, unit) for length in lengths)
    return f"{sizes}, surfaced" if surfaced else sizes
