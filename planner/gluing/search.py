"""The earliest finish that can be found: rules first, then a search that goes on for as long as it is asked to."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from planner.gluing.annealing import Annealing, backwards, forwards
from planner.gluing.bounds import Bound, bounds_of
from planner.gluing.checker import faults_of
from planner.gluing.terms import Timetable, TimetableError, Work

# What is looked for in turn, a cooling each.
_TURNS = ("sooner", "back", "ahead", "sooner")


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
    search = _Search(work, floor, np.random.default_rng(seed), tell)
    for _ in search.run(steps, firsts):
        if (search.best is not None and search.best.finish <= floor) or not keep_going():
            break
    if search.best is None:
        raise TimetableError("The sessions end before everything is done.", mend="Plan for more weeks, or do less.")
    return search.best


class _Search:
    """Looks forwards for an earlier finish, and back from a finish that is not reached yet for a way to begin in time:
    there it shows by how many hours it falls short, where forwards it is a day too late by whatever little."""

    def __init__(
        self, work: Work, floor: int, random: np.random.Generator, tell: Callable[[Timetable], None] | None
    ) -> None:
        self.work, self.floor, self.random, self.tell = work, floor, random, tell
        self.ahead = forwards(work)
        self.best: Timetable | None = None
        self._least: int | None = None

    def run(self, steps: int, firsts: Sequence[Sequence[float]]) -> Iterator[None]:
        """A step at a time, at most ``steps``."""
        left, turn = steps, 0
        here = Annealing(self.ahead, self.random)
        for starts in here.run(min(left, here.round), firsts):
            self._look(starts)
            left -= 1
            yield
        while left:
            kind, turn = _TURNS[turn % len(_TURNS)], turn + 1
            due = None if self.best is None or kind == "ahead" else self._due(self.best, sooner=kind == "sooner")
            if due is None:
                order = [list(map(float, self.best.starts))] if self.best and turn % (2 * len(_TURNS)) else []
                for starts in here.run(min(left, here.round), order, rules=not order):
                    self._look(starts)
                    left -= 1
                    yield
                continue
            assert self.best is not None
            way = backwards(self.work, due)
            back = Annealing(way, self.random)
            for starts in back.run(min(left, back.round), [list(map(float, way.turned(self.best.starts)))]):
                left -= 1
                begins = way.finish_of(starts) < way.scheme.overflow
                if begins:
                    turned = way.turned(starts)
                    # As early as what comes before it lets it, in the order found; where tasks tied by a most come
                    # between one another, only as it is.
                    self._look(self.ahead.scheme.put_in(self.ahead.scheme.order_by(list(map(float, turned)))))
                    self._look(turned)
                yield
                if begins:
                    break

    def _due(self, best: Timetable, *, sooner: bool) -> int | None:
        """A finish to look back from: a slot before the best, or with what is last of all done a session ``sooner``."""
        due = best.finish - 1
        if sooner:
            last = max(range(len(best.starts)), key=lambda i: best.starts[i] + self._after(i))
            ends = best.starts[last] + self.work.tasks[last].attended
            before = [closes for _, closes in self.work.sessions if closes < ends]
            due = min(due, max(self.floor, before[-1] + best.finish - ends)) if before else due
        return due if due >= self.floor else None

    def _after(self, i: int) -> int:
        return self.work.tasks[i].span + self.work.tasks[i].rest

    def _look(self, starts: Sequence[int]) -> None:
        finish = self.ahead.finish_of(starts)
        if self.best is not None and finish >= self.best.finish:
            return
        # What reaches into the overflow, or keeps no wait, shows here; such a timetable is passed over.
        made = Timetable(tuple(starts), finish)
        if self._least is not None and self.best is None and finish >= self._least:
            return
        self._least = finish
        if not faults_of(made, self.work):
            self.best = made
            if self.tell is not None:
                self.tell(made)


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
