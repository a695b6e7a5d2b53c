"""The drafts' door to the planner: when a board can be there, made by the rules in hours that nobody booked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.errors import PlannerError
from planner.gluing import Timetable, find_timetable, glue_board_of, glue_work
from shopapp.schedule.log.planning import minutes_used
from shopapp.schedule.planning import SLOT_MINUTES, Slots
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Adhesive, Finish, Workshop

__all__ = ["Found", "PlannerError", "careful_hours", "found_by_rules"]

# As a timetable's own first look: the rules alone, so that a page answers at once.
_STEPS = 12


@dataclass(frozen=True)
class Found:
    """The slot at which it is with whoever gets it. ``stretched`` where every step was given its careful minutes; else
    the work stands at its likely ones, and what is more by care was sat out in the free hours after it."""

    finish: int
    stretched: bool


def careful_hours(record: Mapping) -> tuple[Fraction, Fraction]:
    """Likely hours of all boards, and those that are enough for four jobs in five; the likely ones twice in records of
    before there were such."""
    likely = Fraction(record["figures"]["hours"]["value"][1])
    careful = record["figures"].get("hours_careful")
    return likely, Fraction(careful["value"][1]) if careful else likely


def found_by_rules(record: Mapping, shop: Workshop, adhesive: Adhesive, finish: Finish, sessions: Slots) -> Found:
    """Raises PlannerError where it cannot be made, or does not fit the sessions."""
    likely, careful = careful_hours(record)
    more = careful / likely if likely else Fraction(1)
    try:
        return Found(_timetable(record, shop, adhesive, finish, sessions, more).finish, True)
    except PlannerError:
        # Careful minutes of gluing may pass what the glue leaves open, which likely ones do not.
        finish_at = _timetable(record, shop, adhesive, finish, sessions, Fraction(1)).finish
        return Found(_sat_out(finish_at, (careful - likely) * 60, sessions), False)


def _timetable(
    record: Mapping, shop: Workshop, adhesive: Adhesive, finish: Finish, sessions: Slots, more: Fraction
) -> Timetable:
    times = {name: minutes * more for name, minutes in minutes_used(shop).items()}
    made = glue_work(
        [glue_board_of(record)],
        workshop_planning.glue_shop_of(shop),
        workshop_planning.adhesive_of(adhesive),
        workshop_planning.finish_of(finish),
        workshop_planning.around_of(shop, in_hand=False),
        times,
        sessions,
        SLOT_MINUTES,
        unit=shop.unit,
    )
    return find_timetable(made.work, steps=_STEPS)


def _sat_out(finish: int, minutes: Fraction, sessions: Sequence[tuple[int, int]]) -> int:
    """How much later all is done when ``minutes`` more were worked in the sessions there are: the wall time those take
    from the finish on."""
    left = -(-minutes // SLOT_MINUTES)
    if left <= 0:
        return finish
    for opens, closes in sessions:
        room = closes - max(opens, finish)
        if room <= 0:
            continue
        if left <= room:
            return max(opens, finish) + int(left)
        left -= room
    raise PlannerError(
        "It does not fit the hours there are at the careful estimate.", mend="Write more hours down, or a day yourself."
    )
