"""The words of a timetable: what there is to do, what holds what up, and when hands are there.

All times are whole slots from some midnight; how many minutes a slot has is the caller's choice. A task takes hands for
``attended`` slots in one go, within one session, and is then left alone for ``hold`` slots, through the night if need
be: glue setting in clamps, oil soaking in. What it ``uses`` it keeps for both.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from planner.errors import PlannerError

HANDS = "hands"


class TimetableError(PlannerError):
    """What was asked for has no timetable."""


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do for the board numbered ``board``. ``uses`` are (what, how many), jigs or clamps or places at the
    bench; ``rest`` are slots after it, nothing used, until it counts as done (a last cure)."""

    name: str
    board: int
    attended: int
    hold: int = 0
    uses: tuple[tuple[str, int], ...] = ()
    rest: int = 0

    @property
    def span(self) -> int:
        return self.attended + self.hold


@dataclass(frozen=True, slots=True)
class Link:
    """Task ``then`` starts ``lag`` slots after task ``first`` starts, or later. A lag below nought is a most: oil that
    has to be wiped within ninety minutes is a link from the wiping back to the oiling."""

    first: int
    then: int
    lag: int


@dataclass(frozen=True, slots=True)
class Work:
    """Everything a timetable follows from: ``capacity`` of hands and of whatever is used; ``sessions`` (from, to) when
    somebody is in the shop, in order and apart; ``slot_minutes`` what a slot is."""

    tasks: tuple[Task, ...]
    links: tuple[Link, ...]
    capacity: Mapping[str, int]
    sessions: tuple[tuple[int, int], ...]
    slot_minutes: int = 5


@dataclass(frozen=True, slots=True)
class Timetable:
    """When each task starts, in the order of ``Work.tasks``; ``finish`` is when the last rest is over."""

    starts: tuple[int, ...]
    finish: int
