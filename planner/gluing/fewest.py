"""The fewest sessions in which somebody is at it, none done too late; of equal ones the earliest finish.

A choice of sessions and an order of the tasks are disturbed together. What does not fit into the sessions chosen runs
over their end, and by how much work it does so tells one choice from another.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from math import log

import numpy as np

from planner.gluing.annealing import Annealing, forwards
from planner.gluing.checker import faults_of
from planner.gluing.search import check, find_timetable
from planner.gluing.serial import Trace
from planner.gluing.terms import HANDS, Timetable, Work

_WEEK_MINUTES = 7 * 24 * 60
# Steps of the first look for an early finish, of which everything else is a change.
_FIRST = 1500
_ROUND, _ROUND_A_TASK = 500, 8
# How much worse, in slots of hands that run over, is kept now and then: at first, and at last.
_WARM, _COLD = 3.0, 0.05
# How much of a slot of hands a slot of lateness counts, and one of the tasks' mean start.
_LATE, _STARTS = 0.05, 0.002
_SWAP = 0.3


def fewest_sessions(
    work: Work,
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = 6000,
    latest: int | None = None,
    tell: Callable[[Timetable], None] | None = None,
    seed: int = 1,
) -> Timetable:
    """The timetable with hands in the fewest sessions found before ``keep_going`` says no or ``steps`` timetables were
    made, finishing by ``latest`` (a week after the earliest finish found where it is None). Equal steps give an equal
    timetable; every one told or returned has passed the checker. Where not even the earliest finish found is by
    ``latest``, that is what comes back. Raises TimetableError like ``find_timetable``."""
    check(work)
    begins = min(max(steps // 4, 1), _FIRST)
    first = find_timetable(work, keep_going, begins, seed=seed, enough=latest)
    if tell is not None:
        tell(first)
    cap = latest if latest is not None else first.finish + _WEEK_MINUTES // work.slot_minutes
    if not any(task.attended for task in work.tasks) or first.finish > cap:
        return first
    search = _Fewest(work, first, cap, np.random.default_rng(seed))
    told = first
    for _ in search.run(steps - begins):
        if search.best is not told and tell is not None:
            tell(search.best)
        told = search.best
        if not keep_going():
            break
    return search.best


def sessions_of(work: Work, starts: Sequence[int]) -> frozenset[int]:
    """Which sessions hands are in, by number."""
    opens = [opens for opens, _ in work.sessions]
    return frozenset(
        bisect_right(opens, start) - 1 for start, task in zip(starts, work.tasks, strict=True) if task.attended
    )


def fewest_possible(work: Work, latest: int) -> int:
    """So many sessions it takes at the least: the longest there are until then have to give hours enough."""
    left = sum(task.attended for task in work.tasks)
    lengths = sorted((min(closes, latest) - opens for opens, closes in work.sessions if opens < latest), reverse=True)
    for many, length in enumerate(lengths):
        if left <= 0:
            return many
        left -= length * work.capacity[HANDS]
    return len(lengths)


class _Fewest:
    def __init__(self, work: Work, first: Timetable, cap: int, random: np.random.Generator) -> None:
        self.work, self.cap, self.random = work, cap, random
        self.best = first
        self.chosen = sessions_of(work, first.starts)
        # Two changes of one order; the scheme is given other sessions each time they are chosen anew.
        self.orders = Annealing(forwards(work), random)
        self.scheme = self.orders.scheme
        self.least = fewest_possible(work, cap)
        ends = min((task.span - task.attended + task.rest for task in work.tasks), default=0)
        self.open = [k for k, (opens, _) in enumerate(work.sessions) if opens < cap - ends]
        self.attended = [(i, task.attended) for i, task in enumerate(work.tasks) if task.attended]

    def run(self, steps: int) -> Iterator[None]:
        """Fewer sessions, fewer again, and as many but done sooner, in turn; at most ``steps``."""
        left, turn = steps, 0
        round_ = max(_ROUND, len(self.work.tasks) * _ROUND_A_TASK)
        while left:
            fewer = turn % 3 < 2 and len(self.chosen) > self.least
            turn += 1
            found = False
            for found in self._round(
                len(self.chosen) - fewer, self.cap if fewer else self.best.finish - 1, min(left, round_)
            ):
                left -= 1
                yield
                if found:
                    break
            if found:
                turn = 0 if fewer else 2

    def _round(self, many: int, cap: int, steps: int) -> Iterator[bool]:
        """Looks for ``many`` sessions and a finish by ``cap``; says after every step whether they were found."""
        random = self.random
        chosen = self._begin(many)
        here = self._trace(chosen, self.orders.scheme.order_by(list(map(float, self.best.starts))), None)
        score = self._score(here.starts, cap)
        for at in range(steps):
            swapped = random.random() < _SWAP
            new = self._swapped(chosen) if swapped else chosen
            rank = list(map(float, here.starts)) if swapped else self.orders.disturbed(here.starts)
            trace = self._trace(new, self.scheme.order_by(rank), None if swapped else here)
            worth = self._score(trace.starts, cap)
            if self._keep(trace, cap):
                yield True
                return
            heat = _WARM * (1 - at / steps) ** 2 + _COLD
            if worth <= score - heat * log(1 - random.random()):
                score, here, chosen = worth, trace, new
            else:
                self.scheme.set_sessions([self.work.sessions[k] for k in sorted(chosen)])
            yield False

    def _begin(self, many: int) -> frozenset[int]:
        """The sessions there are, without those in which least is done."""
        busy = dict.fromkeys(self.chosen, 0)
        opens = [opens for opens, _ in self.work.sessions]
        for i, attended in self.attended:
            busy[bisect_right(opens, self.best.starts[i]) - 1] += attended
        tired = sorted(busy, key=lambda k: busy[k] + float(self.random.random()) * 12)
        return frozenset(tired[len(tired) - many :])

    def _swapped(self, chosen: frozenset[int]) -> frozenset[int]:
        others = [k for k in self.open if k not in chosen]
        if not others:
            return chosen
        out = sorted(chosen)[int(self.random.integers(len(chosen)))]
        return (chosen - {out}) | {others[int(self.random.integers(len(others)))]}

    def _trace(self, chosen: frozenset[int], order: Sequence[int], base: Trace | None) -> Trace:
        if base is None:
            self.scheme.set_sessions([self.work.sessions[k] for k in sorted(chosen)])
        trace = self.scheme.trace(order, base)
        assert trace is not None
        return trace

    def _score(self, starts: Sequence[int], cap: int) -> float:
        overflow = self.scheme.overflow
        over = sum(attended for i, attended in self.attended if starts[i] >= overflow)
        late = self.orders.way.finish_of(starts) - cap
        return over + _LATE * max(late, 0) + _STARTS * sum(starts) / len(starts)

    def _keep(self, trace: Trace, cap: int) -> bool:
        finish = self.orders.way.finish_of(trace.starts)
        if finish > cap:
            return False
        made = Timetable(tuple(trace.starts), finish)
        used = sessions_of(self.work, made.starts)
        if (len(used), finish) >= (len(self.chosen), self.best.finish) or faults_of(made, self.work):
            return False
        self.best, self.chosen = made, used
        return True
