"""What every section of a shop book is made from: stored rows only, opened once."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass
from functools import cached_property

from shopapp.plans.cutting.sheets.readers import SheetView, sheet_view
from shopapp.plans.models import CutSheet, KeptTimetable, Plan, ShopBook
from shopapp.plans.readers import RecordView
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from .gauged import AsGauged, as_gauged


@dataclass(frozen=True)
class Told:
    """``shop`` writes as it did when the book was asked for; ``sheet`` and ``timetable`` are None where none was kept
    then."""

    book: ShopBook
    shop: Workshop

    @property
    def plan(self) -> Plan:
        return self.book.plan

    @property
    def sheet(self) -> CutSheet | None:
        return self.book.sheet

    @property
    def timetable(self) -> KeptTimetable | None:
        return self.book.timetable

    @cached_property
    def record(self) -> dict:
        return self.plan.record

    @cached_property
    def view(self) -> RecordView:
        return RecordView(self.record, self.plan.title, self.shop.unit)

    @cached_property
    def gauged(self) -> AsGauged | None:
        """What had been gauged of its tiles when it was asked for."""
        return as_gauged(self.record, self.sheet, self.book.seen.get("gauged"), self.shop)

    @cached_property
    def cut(self) -> SheetView | None:
        """Its cut plan as papers show it."""
        return sheet_view(self.sheet, self.shop) if self.sheet else None


def told_of(book: ShopBook) -> Told:
    """One query."""
    shop = copy(the_workshop())
    for name in ("name", "unit", "words"):
        setattr(shop, name, book.seen.get(name, getattr(shop, name)))
    return Told(book, shop)
