"""A season to test with: a shop open on five evenings, and jobs of one small board."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from types import SimpleNamespace

from shopapp.jobs.season import planning
from shopapp.jobs.season.asked import Asked, Evening
from shopapp.plans.models import Plan
from shopapp.plans.timetable.planning import SLOTS_A_DAY
from shopapp.schedule.actions import add_sessions
from shopapp.schedule.log.planning import minutes_used
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop import readers as workshop


def five_evenings(owner) -> None:
    add_sessions(who=owner, weekdays=range(5), values={"starts": 19 * 60, "ends": 21 * 60 + 30})


def shop_from(first: date, weeks: int = 20) -> planning.Shop:
    """The shop as it stands, open every evening of Monday to Friday from a first day on; one more on Saturdays."""
    row = workshop.the_workshop()
    evenings = [
        (n * SLOTS_A_DAY + 228, n * SLOTS_A_DAY + 258)
        for n in range(weeks * 7)
        if (first + timedelta(days=n)).weekday() < 6
    ]
    usual = tuple(span for span in evenings if (first + timedelta(days=span[0] // SLOTS_A_DAY)).weekday() < 5)
    return planning.Shop(
        row,
        workshop_planning.glue_shop_of(row),
        workshop.adhesives()[0],
        workshop.finishes()[0],
        minutes_used(row),
        first,
        usual,
        tuple(evenings),
    )


def boards_due(plan: Plan, dues: Sequence[date | None], *, settled: bool = True) -> list[planning.Board]:
    record = plan.record
    return [planning.Board(n, record, due, {}, settled) for n, due in enumerate(dues, start=1)]


def due_again(boards: Sequence[planning.Board], dues: Sequence[date | None]) -> list[planning.Board]:
    return [replace(board, due=due) for board, due in zip(boards, dues, strict=True)]


def asked_of(boards: Sequence[planning.Board], shop: planning.Shop) -> Asked:
    """What words are made of."""
    jobs = [SimpleNamespace(pk=board.pk, due=board.due) for board in boards]
    return Asked(jobs, [], shop, Evening(5, 19 * 60, 21 * 60 + 30), {}, frozenset(), "")
