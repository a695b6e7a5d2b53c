"""Every move of a piece of wood as what it did to the rack, in board feet and in worth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.utils import timezone

from planner.measures import Length, board_feet, volume_mm3
from shopapp.lumber.models import StockEntry, StockMove, StockPiece, SupplyEntry
from shopapp.lumber.stock.ledger import RACK

Kind = StockEntry.Kind
BOUGHT, USED, WASTED, OTHERWISE = "bought", "used", "wasted", "otherwise"
# What each way a piece changes is told as; what is not named changes nothing of the balance but by sizes.
_WAYS = {Kind.BOUGHT: BOUGHT, Kind.TAKEN: USED, Kind.RETURNED: USED, Kind.SCRAPPED: WASTED}
WAYS = {
    BOUGHT: "Bought",
    USED: "Used, what came back taken off",
    WASTED: "Wasted",
    OTHERWISE: "Cut and planed on the rack, measured anew, counted",
}
_SIDES = ("thickness", "width", "length")


@dataclass(frozen=True, slots=True)
class RackMove:
    """``feet`` and ``worth`` are what came to the rack, below nought what left it."""

    on: date
    way: str
    wood: str
    mark: str
    feet: Fraction
    worth: Decimal
    words: str
    entry: int
    # Who it was taken for, by their key.
    wanted_by: str = ""


def rack_moves() -> Iterator[RackMove]:
    """All there are, as they were written. One query. What was bought counts from the day of its delivery, and what was
    undone goes off the way it came on."""
    rows = StockMove.objects.select_related("entry__undoes__demand", "entry__demand", "piece__lot__delivery").order_by(
        "pk"
    )
    stands: dict[int, dict[str, object]] = {}
    for move in rows:
        before = stands.get(move.piece_id, {})
        after = stands[move.piece_id] = before | move.after
        entry = move.entry
        meant = entry.undoes or entry
        feet = _feet(after) - _feet(before)
        worth = move.worth * ((move.went_to == RACK) - (move.came_from == RACK))
        if feet or worth:
            bought = entry.kind == Kind.BOUGHT
            yield RackMove(
                on=move.piece.lot.delivery.on if bought else timezone.localdate(entry.at),
                way=_WAYS.get(meant.kind, OTHERWISE),
                wood=move.piece.wood,
                mark=move.piece.mark,
                feet=feet,
                worth=worth,
                words=entry.words,
                entry=entry.pk,
                wanted_by=meant.demand.key if meant.demand else "",
            )


def _feet(piece: dict[str, object]) -> Fraction:
    if piece.get("state") != StockPiece.State.HERE:
        return Fraction(0)
    return board_feet(volume_mm3(*(Length.from_nm(int(str(piece[side]))) for side in _SIDES)))


@dataclass(frozen=True, slots=True)
class ShelfMove:
    """What an entry did to a consumable's amount and worth."""

    on: date
    way: str
    supply: int
    name: str
    unit: str
    amount: Decimal
    worth: Decimal
    words: str
    entry: int


def shelf_moves() -> Iterator[ShelfMove]:
    """One query."""
    for row in SupplyEntry.objects.select_related("supply", "undoes").order_by("pk"):
        kind = row.undoes.kind if row.undoes else row.kind
        way = {SupplyEntry.Kind.BOUGHT: BOUGHT, SupplyEntry.Kind.USED: USED}.get(kind, OTHERWISE)
        supply = row.supply
        yield ShelfMove(
            row.on, way, supply.pk, supply.name, supply.get_unit_display(), row.amount, row.worth, row.words, row.pk
        )  # fmt: skip
