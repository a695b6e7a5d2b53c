"""The books' one door to the planner: what sales together earned, and drawings of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from planner.drawing.marking import PHONE, SCREEN
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.working.months import Month, months_svg
from planner.drawing.working.shares import Told, shares_svg
from planner.pricing import Earned, dealt
from planner.pricing import hour_figure as _hour
from planner.pricing import margin_figure as _margin
from planner.pricing import profit_figure as _profit

__all__ = [
    "Drawn",
    "Earned",
    "Month",
    "Told",
    "dealt",
    "hour_record",
    "margin_record",
    "months_drawn",
    "profit_record",
    "shares_drawn",
]

Says = Callable[[Decimal], str]


@dataclass(frozen=True)
class Drawn:
    """One drawing for a wide screen and for a phone, or ``wide`` for paper alone."""

    wide: str
    narrow: str = ""


def months_drawn(
    series: Sequence[str], months: Sequence[Month], says: Says, title: str, on_paper: bool = False
) -> Drawn:  # fmt: skip
    return Drawn(*(months_svg(series, months, says, room=room, title=title) for room in _rooms(on_paper)))


def shares_drawn(
    paid: Decimal, shares: Sequence[Told], says: Says, title: str, whole: str, on_paper: bool = False
) -> Drawn:  # fmt: skip
    """``shares`` add up to ``paid``."""
    rooms = _rooms(on_paper)
    return Drawn(*(shares_svg(paid, shares, {}, says, room=room, title=title, whole=whole) for room in rooms))


def _rooms(on_paper: bool) -> tuple[Room, ...]:
    return (PAPER,) if on_paper else (SCREEN, PHONE)


def profit_record(earned: Earned) -> dict:
    return _profit(earned).as_record()


def hour_record(earned: Earned, exponent: int) -> dict | None:
    figure = _hour(earned, exponent)
    return figure and figure.as_record()


def margin_record(earned: Earned) -> dict | None:
    figure = _margin(earned)
    return figure and figure.as_record()
