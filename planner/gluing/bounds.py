"""What no timetable can undercut, and what it is that holds the work up.

    path     every task as early as what comes before it and the sessions allow, as if there were hands and jigs enough
    hands    tasks from some tail on take so many hours of hands; somebody is the last of them and has a way to go yet
    a jig, clamps, places    the same with loads: so many of one thing give so many loads a session

A tail is what still has to happen after a task, waits included. Each is a bound by itself; the largest is the floor.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from heapq import heappop, heappush

from planner.gluing.serial import scheme_of
from planner.gluing.terms import HANDS, TimetableError, Work


@dataclass(frozen=True, slots=True)
class Bound:
    """No timetable finishes before ``finish``, because of ``what``: "path", "hands", or the name of what is used."""

    what: str
    finish: int


def bounds_of(work: Work) -> tuple[Bound, ...]:
    """Every bound, the largest first; of equals the path before hands before what is used.

    Raises TimetableError where the sessions end before everything can be done, or tasks wait for one another in a ring.
    """
    calendar = _Calendar(work)
    found = [Bound("path", calendar.path_finish)]
    everything = range(len(work.tasks))
    if any(task.attended for task in work.tasks):
        found.append(
            Bound(HANDS, calendar.bound_of([i for i in everything if work.tasks[i].attended], calendar.by_hands))
        )
    for what in sorted({what for task in work.tasks for what, _ in task.uses}):
        users = [i for i in everything if what in dict(work.tasks[i].uses)]
        found.append(Bound(what, calendar.bound_of(users, partial(calendar.by_loads, what=what))))
    return tuple(sorted(found, key=lambda bound: -bound.finish))


class _Calendar:
    """The work's tails and its sessions, asked the questions of the bounds."""

    def __init__(self, work: Work) -> None:
        self.work = work
        # By how many slots of hands: when sessions that are long enough open, and the last moment to begin in each.
        self._rooms: dict[int, tuple[list[int], list[int]]] = {}
        for long in {task.attended for task in work.tasks if task.attended}:
            fit = [(opens, closes - long) for opens, closes in work.sessions if closes - opens >= long]
            self._rooms[long] = [opens for opens, _ in fit], [latest for _, latest in fit]
        n = len(work.tasks)
        self.after: list[list[tuple[int, int]]] = [[] for _ in range(n)]
        for link in work.links:
            if link.lag >= 0:
                self.after[link.first].append((link.then, link.lag))
        self.order = scheme_of(work).topological
        self._place = {i: k for k, i in enumerate(self.order)}
        self.earliest = [0] * n
        for i in self.order:
            self.earliest[i] = self.begin(i, self.earliest[i])
            for j, lag in self.after[i]:
                self.earliest[j] = max(self.earliest[j], self.earliest[i] + lag)
        self.tail = [0] * n
        for i in reversed(self.order):
            own = work.tasks[i].span + work.tasks[i].rest
            self.tail[i] = max([own, *(lag + self.tail[j] for j, lag in self.after[i])])

    @property
    def path_finish(self) -> int:
        tasks = self.work.tasks
        return max((start + task.span + task.rest for start, task in zip(self.earliest, tasks, strict=True)), default=0)

    def begin(self, i: int, start: int) -> int:
        """The first moment from ``start`` on at which a session has room for the task."""
        attended = self.work.tasks[i].attended
        if not attended:
            return start
        opens, latest = self._rooms[attended]
        k = bisect_left(latest, start)
        if k == len(latest):
            raise TimetableError("The sessions end before everything is done.", mend="Plan for more weeks, or do less.")
        return max(start, opens[k])

    def finish_from(self, i: int, start: int) -> int:
        """When everything after the task is done at the earliest, if it starts no sooner than ``start``."""
        begun = {i: start}
        finish = 0
        waiting = [self._place[i]]
        while waiting:
            j = self.order[heappop(waiting)]
            at = self.begin(j, begun[j])
            task = self.work.tasks[j]
            finish = max(finish, at + task.span + task.rest)
            for then, lag in self.after[j]:
                if then not in begun:
                    heappush(waiting, self._place[then])
                begun[then] = max(begun.get(then, 0), at + lag)
        return finish

    def bound_of(self, users: list[int], start_of_last: Callable[[list[int]], Callable[[int], int]]) -> int:
        """Of the users with long tails one is last; from where it can start at the earliest it has its own way to go.
        Nobody knows which it is, so the one with the shortest way decides. Every length of tail is tried."""
        best = 0
        for tail in sorted({self.tail[i] for i in users}, reverse=True):
            chosen = sorted((i for i in users if self.tail[i] >= tail), key=lambda i: self.tail[i])
            start = start_of_last(chosen)
            least: int | None = None
            for i in chosen:
                # None with a longer tail can be done sooner than its tail says.
                if least is not None and start(i) + self.tail[i] >= least:
                    continue
                finish = self.finish_from(i, start(i))
                least = finish if least is None else min(least, finish)
                if least <= best:
                    break
            best = max(best, least or 0)
        return best

    def by_hands(self, chosen: list[int]) -> Callable[[int], int]:
        """The last of them to leave the hands does so when sessions have given hours enough for all."""
        tasks = self.work.tasks
        left = sum(tasks[i].attended for i in chosen)
        at, hands = min(self.earliest[i] for i in chosen), self.work.capacity[HANDS]
        for opens, closes in self.work.sessions:
            begun = max(opens, at)
            if closes > begun:
                if (closes - begun) * hands >= left:
                    ends = begun - (-left // hands)
                    return lambda i: max(self.earliest[i], ends - tasks[i].attended)
                left -= (closes - begun) * hands
        raise TimetableError("The sessions end before everything is done.", mend="Plan for more weeks, or do less.")

    def by_loads(self, chosen: list[int], what: str) -> Callable[[int], int]:
        """The last of them to be loaded is loaded no sooner than the last of as many of the quickest kind would be."""
        tasks, capacity = self.work.tasks, self.work.capacity
        many = capacity.get(what, 0) // min(dict(tasks[i].uses)[what] for i in chosen)
        if not many:
            raise TimetableError(f"There is not enough of {what}.", mend="Take on less at once.")
        span, quickest = min(tasks[i].span for i in chosen), min(chosen, key=lambda i: tasks[i].attended)
        first = min(self.earliest[i] for i in chosen)
        free, hands = [first] * many, [first] * capacity[HANDS]
        at = first
        for _ in chosen:
            at = self.begin(quickest, max(heappop(free), heappop(hands)))
            heappush(free, at + span)
            heappush(hands, at + tasks[quickest].attended)
        return lambda i: max(self.earliest[i], at)
