"""By a date: how late one can begin and still be done in time; where that cannot be, when it is done and why.

Looked for back from the date; what is found is then put in forwards from its beginning, so that nothing waits longer
than it has to and whatever goes wrong later finds some days in hand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from planner.gluing.annealing import Annealing, Way, backwards
from planner.gluing.bounds import Bound, bounds_of
from planner.gluing.checker import faults_of
from planner.gluing.search import check, find_timetable
from planner.gluing.serial import scheme_of
from planner.gluing.terms import Timetable, TimetableError, Work


@dataclass(frozen=True, slots=True)
class ByDate:
    """``timetable`` is done by ``due`` where ``in_time``, else as early as was found. ``start`` is when hands are first
    at it; nobody who begins later than ``latest`` is in time, which is None where nobody is at all. ``bound`` is what
    limits it: the largest of the bounds of all the work where it is not in time, of beginning any later where it is."""

    timetable: Timetable
    due: int
    in_time: bool
    start: int
    latest: int | None
    bound: Bound

    @property
    def proved(self) -> bool:
        """Whether no later start is in time, or that no timetable at all is."""
        return self.start == self.latest if self.in_time else self.bound.finish > self.due


def by_date(
    work: Work,
    due: int,
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = 3000,
    seed: int = 1,
) -> ByDate:
    """The timetable that is done by slot ``due`` and begins as late as was found before ``keep_going`` says no,
    ``steps`` timetables were made, or no later start can be in time. What needs no hands at the beginning stays as
    early as it can be: it is under way, or costs nothing. Raises TimetableError like ``find_timetable``."""
    check(work)
    limit = _latest(work, due)
    found = None
    if limit is not None and any(task.attended for task in work.tasks):
        found = _search(work, due, limit, keep_going, steps, seed)
    if found is None:
        # Not found in time from behind: as early as can be, which may still be in time.
        found = find_timetable(work, keep_going, steps, seed=seed, enough=due)
    start = start_of(work, found.starts)
    bound = bounds_of(work)[0]
    if found.finish <= due:
        bound = _floor_from(work, start + 1) or bound
    return ByDate(found, due, found.finish <= due, start, limit, bound)


def start_of(work: Work, starts: Sequence[int]) -> int:
    """When hands are first at it."""
    return min((at for at, task in zip(starts, work.tasks, strict=True) if task.attended), default=0)


def _from(work: Work, start: int) -> Work:
    """The same work with nobody there before ``start``."""
    left = tuple((max(opens, start), closes) for opens, closes in work.sessions if closes > start)
    return replace(work, sessions=left)


def _floor_from(work: Work, start: int) -> Bound | None:
    try:
        return bounds_of(_from(work, start))[0]
    except TimetableError:
        return None


def _latest(work: Work, due: int) -> int | None:
    """The latest start from which the bounds allow ``due``, None where there is none: halving, for who begins later is
    done no sooner."""
    slots = [at for opens, closes in work.sessions if opens < due for at in range(opens, min(closes, due))]

    def allowed(start: int) -> bool:
        floor = _floor_from(work, start)
        return floor is not None and floor.finish <= due

    low, high = -1, len(slots) - 1
    while low < high:
        middle = (low + high + 1) // 2
        if allowed(slots[middle]):
            low = middle
        else:
            high = middle - 1
    return slots[low] if low >= 0 else None


def _search(
    work: Work, due: int, limit: int, keep_going: Callable[[], bool], steps: int, seed: int
) -> Timetable | None:
    way, random = backwards(work, due), np.random.default_rng(seed)
    best: Timetable | None = None
    begun, left = -1, steps
    while left:
        back = Annealing(way, random)
        for starts in back.run(min(left, back.round)):
            left -= 1
            start = due - way.finish_of(starts)
            if start > begun and way.finish_of(starts) < way.scheme.overflow:
                made = _put_in(work, way, starts, start, due)
                if made is not None:
                    best, begun = made, start_of(work, made.starts)
            if begun >= limit or not keep_going():
                return best
    return best


def _put_in(work: Work, way: Way, late: Sequence[int], start: int, due: int) -> Timetable | None:
    """From ``start`` on, in the order found from behind, each as early as can be; else as it was found."""
    turned = way.turned(late)
    scheme = scheme_of(_from(work, start))
    ahead = scheme.put_in(scheme.order_by(list(map(float, turned))))
    free = [at if last is None else back for at, back, last in zip(ahead, turned, way.lasts, strict=True)]
    for starts in (ahead, free):
        finish = max(at + task.span + task.rest for at, task in zip(starts, work.tasks, strict=True))
        made = Timetable(tuple(starts), finish)
        if finish <= due and not faults_of(made, work):
            return made
    return None
