"""Counting: a stocktake begun, each piece found or not, a count changed or taken back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import EditConflict, bump_version, write_audit
from shopapp.lumber.models import StockPiece, Stocktake, StocktakeCount
from shopapp.lumber.stock.ledger import StockMoved
from shopapp.people.models import Member

from .differences import SIDES

Spend = Callable[[], None]


@dataclass(frozen=True)
class Found:
    """What was found of a piece. A side is None where it is as in the book, ``place`` where it was not looked at."""

    found: bool = True
    thickness: Length | None = None
    width: Length | None = None
    length: Length | None = None
    place: str | None = None

    def fields(self) -> dict[str, object]:
        sides = {side: getattr(self, side) if self.found else None for side in SIDES}
        moved = self.found and self.place is not None
        return {"found": self.found, **sides, "moved": moved, "place": self.place if moved else ""}


def begin_stocktake(
    *, who: Member | None, wood: str = "", place: str = "", of: str = "the whole rack", spend: Spend = lambda: None
) -> Stocktake:
    """Begin a count of the whole rack, of one wood, of one place; ``of`` says which in words."""
    with transaction.atomic():
        spend()
        stocktake = Stocktake.objects.create(wood=wood, place=place, begun_by=who)
        write_audit(who, f"A stocktake of {of} was begun.", stocktake)
    return stocktake


def count_piece(
    *,
    who: Member | None,
    stocktake: Stocktake,
    piece: StockPiece,
    counted: Found,
    seen_version: int | None = None,
    piece_seen: int | None = None,
    spend: Spend = lambda: None,
) -> StocktakeCount:
    """Write what was found of a piece; what was counted before of it makes room.

    Counted the same twice, nothing changes. ``seen_version`` is the count's as it was seen, nought where there was
    none; raises EditConflict with the count that stands when another one was made meanwhile. ``piece_seen`` is the
    piece's; raises StockMoved when its entry in the book changed since.
    """
    with transaction.atomic():
        spend()
        stocktake = still_open(stocktake)
        piece = StockPiece.objects.select_for_update().get(pk=piece.pk)
        if piece_seen is not None and piece.edit_version != piece_seen:
            raise StockMoved(
                f"{piece.mark} was changed meanwhile.", mend="Look at it as it is now, and count it again."
            )
        values = {**counted.fields(), "piece_version": piece.edit_version}
        row = StocktakeCount.objects.filter(stocktake=stocktake, piece=piece).first()
        if row is None:
            row = StocktakeCount.objects.create(stocktake=stocktake, piece=piece, counted_by=who, **values)
        elif all(getattr(row, name) == value for name, value in values.items()):
            return row
        else:
            if seen_version is not None and row.edit_version != seen_version:
                raise EditConflict(row)
            for name, value in {**values, "counted_by": who}.items():
                setattr(row, name, value)
            row.save()
            bump_version(row)
        write_audit(who, f"{piece.mark} was counted: {'found' if row.found else 'not found'}.", stocktake)
    return row


def take_back_count(
    *, who: Member | None, stocktake: Stocktake, piece: StockPiece, spend: Spend = lambda: None
) -> None:
    """The piece was not counted after all: a mistyped mark."""
    with transaction.atomic():
        spend()
        stocktake = still_open(stocktake)
        if stocktake.counts.filter(piece=piece).delete()[0]:
            write_audit(who, f"The count of {piece.mark} was taken back.", stocktake)


def still_open(stocktake: Stocktake) -> Stocktake:
    """The stocktake, held against others until the transaction ends. Raises PlannerError when it is closed."""
    stocktake = Stocktake.objects.select_for_update().get(pk=stocktake.pk)
    if stocktake.closed_at is not None:
        raise PlannerError(
            "This stocktake is closed, so nothing more is counted in it.", mend="Begin another one for what is left."
        )
    return stocktake
