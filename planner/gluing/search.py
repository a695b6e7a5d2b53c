"""The earliest finish that can be found: rules first, then a search that goes on for as long as it is asked to."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from planner.gluing.annealing import Annealing, forwards
from planner.gluing.bounds import Bound, bounds_of
from planner.gluing.checker import faults_of
from planner.gluing.terms import Timetable, TimetableError, Work


def find_timetable(
    work: Work,
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = 3000,
    tell: Callable[[Timetable], None] | None = None,
    seed: int = 1,
    firsts: Sequence[Sequence[float]] = (),
    enough: int | None = None,
) -> Timetable:
    """The timetable with the earliest finish found before ``keep_going`` says no, ``steps`` timetables were made, or
    the floor is met. Equal steps give an equal timetable. ``tell`` gets every one that finishes earlier than the one
    before. ``firsts`` are orders to begin with, a rank a task; with a finish of ``enough`` or sooner it stops.

    Every timetable told or returned has passed the checker. Raises TimetableError where the sessions end before
    everything is done, there is less of something than one task uses, or tasks wait for one another.
    """
    check(work)
    if not work.tasks:
        return Timetable((), 0)
    floor = max(bounds_of(work)[0].finish, enough or 0)
    way = forwards(work)
    best: Timetable | None = None
    least: int | None = None
    for starts in Annealing(way, np.random.default_rng(seed)).run(steps, firsts):
        finish = way.finish_of(starts)
        if best is None or finish < best.finish:
            made = Timetable(tuple(starts), finish)
            # What reaches into the overflow, or keeps no wait, shows here; such a timetable is passed over.
            if (best is not None or least is None or finish < least) and not faults_of(made, work):
                best = made
                if tell is not None:
                    tell(best)
            least = finish if least is None else min(least, finish)
        if (best is not None and best.finish <= floor) or not keep_going():
            break
    if best is None:
        raise TimetableError("The sessions end before everything is done.", mend="Plan for more weeks, or do less.")
    return best


def floor_of(work: Work) -> Bound:
    """What no timetable of the work undercuts, and what it is that holds it up."""
    return bounds_of(work)[0]


def check(work: Work) -> None:
    """Raises TimetableError for a task that no session or no store has room for."""
    longest = max((closes - opens for opens, closes in work.sessions), default=0)
    for task in work.tasks:
        if task.attended > longest:
            raise TimetableError(
                f"{task.name} takes {task.attended * work.slot_minutes} minutes of hands; the longest session has "
                f"{longest * work.slot_minutes}.",
                mend="Split it, or plan a longer session.",
                field="sessions",
            )
        for what, many in task.uses:
            if many > work.capacity.get(what, 0):
                raise TimetableError(
                    f"{task.name} uses {many} of {what}; there are {work.capacity.get(what, 0)}.",
                    mend="Take on less at once, or get more of it.",
                    field=what,
                )
