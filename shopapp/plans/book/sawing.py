"""What of a kept cut plan stands in a shop book: boards and where they lie, marking-out sheets, set-ups."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.measures import Length
from shopapp.common.words import in_shop_words
from shopapp.plans.cutting.sheets import planning
from shopapp.plans.cutting.sheets.readers import SheetView, TakeLine, to_take

from . import planning as book_planning
from .told import Told


@dataclass(frozen=True)
class Pieces:
    """``view`` tells what has to come out of the boards ``taken``."""

    taken: list[TakeLine]
    view: SheetView


@dataclass(frozen=True)
class SetUps:
    """``crosscut`` and ``rip`` are what each blade takes, as the plan reckons."""

    view: SheetView
    crosscut: Length
    rip: Length


def pieces_of(told: Told) -> Pieces | None:
    if told.sheet is None or told.cut is None:
        return None
    return Pieces(to_take(told.sheet, told.cut.boards, told.book.seen["places"]), told.cut)


def marking_of(told: Told) -> SheetView | None:
    return told.cut


def set_ups_of(told: Told) -> SetUps | None:
    if told.sheet is None or told.cut is None or not told.cut.kinds:
        return None
    shop, sheet = told.shop, told.sheet
    machines = book_planning.machines_of(
        sheet.form, sheet.set_ups_record, told.record, shop.unit, lambda text: in_shop_words(text, shop.words)
    )
    # A kind that is kept from its machine in part stands twice; what is drawn is at the machine.
    kinds = [
        kind if kind.steps[0].instead else replace(kind, drawn=machines.get(kind.kind, "")) for kind in told.cut.kinds
    ]
    return SetUps(replace(told.cut, kinds=kinds), *planning.kerfs(sheet.form))
