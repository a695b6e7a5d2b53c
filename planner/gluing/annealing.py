"""The search itself, forwards or with time turned around: rules first, then orders disturbed for as long as asked.

Rules put the tasks in by one order or another. The search takes the order in which the best tasks start, disturbs it (a
task, a board, a stretch of time, all that use one thing) and puts everything in anew; a worse timetable is kept now and
then, less and less often (annealing). A finish alone would leave it on plateaus, for missing the end of an evening
costs a day and all else costs nothing: that tasks start earlier counts a little too.
What cannot become good enough to be kept is given up as soon as a task starts too late for it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import log

import numpy as np

from planner.gluing.bundles import in_order
from planner.gluing.serial import Scheme, scheme_of, turned_around
from planner.gluing.terms import Work

# Orders tried of each rule: as it is, and what comes of putting it in backwards and forwards again.
_TURNS = 4
# How much worse, in slots, a timetable may be and still be kept now and then: at first, and at last.
_WARM, _COLD = 2.0, 0.05
# Steps of one cooling, at the least and a task.
_ROUND, _ROUND_A_TASK = 1000, 20
# How much of a slot a slot of the tasks' mean start counts.
_STARTS = 0.01
# Places in the order a task is put forward or back.
_NEAR = 30
# Slots: an evening, a day, three days of five minutes each.
_WIDTHS = (36, 288, 864)


@dataclass(frozen=True)
class Way:
    """Work one way or the other in time. ``lasts`` is from each task's start to where it counts as done, None for what
    may be done at any time; ``end`` turns a start of one scheme into one of the other."""

    scheme: Scheme
    back: Scheme
    end: int
    lasts: tuple[int | None, ...]
    boards: tuple[int, ...]
    things: tuple[frozenset[str], ...]

    def turned(self, starts: Sequence[int]) -> list[int]:
        """Starts of one way as starts of the other."""
        return [self.end - start - step.span for start, step in zip(starts, self.scheme.steps, strict=True)]

    def finish_of(self, starts: Sequence[int]) -> int:
        return max(
            (start + last for start, last in zip(starts, self.lasts, strict=True) if last is not None), default=0
        )


def forwards(work: Work) -> Way:
    end = work.sessions[-1][1] if work.sessions else 0
    lasts = tuple(task.span + task.rest for task in work.tasks)
    return Way(scheme_of(work), turned_around(work, end), end, lasts, *_marks(work))


def backwards(work: Work, due: int) -> Way:
    """From ``due`` back: what finishes early there begins late here. What takes no hands, and has nothing before it
    that does, may begin at any time; sessions before the first hands can be wanted are left out."""
    earliest, free = _beginning(work)
    opens = min((at for at, task in zip(earliest, work.tasks, strict=True) if task.attended), default=0)
    sessions = tuple((max(begins, opens), ends) for begins, ends in work.sessions if ends > opens)
    lasts = tuple(None if any_time else task.span for any_time, task in zip(free, work.tasks, strict=True))
    return Way(turned_around(replace(work, sessions=sessions), due), scheme_of(work), due, lasts, *_marks(work))


def _beginning(work: Work) -> tuple[list[int], list[bool]]:
    """When each task could start if nothing but waits held it up, and whether no hands are needed up to its end."""
    before: list[list[tuple[int, int]]] = [[] for _ in work.tasks]
    for link in work.links:
        if link.lag >= 0:
            before[link.then].append((link.first, link.lag))
    earliest, free = [0] * len(before), [False] * len(before)
    for i in in_order(before):
        earliest[i] = max([0, *(earliest[p] + lag for p, lag in before[i])])
        free[i] = not work.tasks[i].attended and all(free[p] for p, _ in before[i])
    return earliest, free


def _marks(work: Work) -> tuple[tuple[int, ...], tuple[frozenset[str], ...]]:
    return tuple(task.board for task in work.tasks), tuple(frozenset(w for w, _ in task.uses) for task in work.tasks)


class Annealing:
    def __init__(self, way: Way, random: np.random.Generator) -> None:
        self.way, self.random = way, random
        self.scheme, self.spans = way.scheme, [step.span for step in way.scheme.steps]
        self.boards = sorted(set(way.boards))
        self.of_board = {board: [i for i, b in enumerate(way.boards) if b == board] for board in self.boards}
        self.things: list[str | None] = [*sorted({what for some in way.things for what in some}), None]
        n = len(self.spans)
        self.after: list[list[tuple[int, int]]] = [[] for _ in range(n)]
        for then, before in enumerate(self.scheme.before):
            for first, lag in before:
                self.after[first].append((then, lag))
        self.tails = [0] * n
        for i in reversed(self.scheme.topological):
            self.tails[i] = max([way.lasts[i] or 0, *(lag + self.tails[j] for j, lag in self.after[i])])
        self.ends = [(i, last) for i, last in enumerate(way.lasts) if last is not None]
        # Steps of one cooling; then it starts anew from another timetable.
        self.round = max(_ROUND, n * _ROUND_A_TASK)
        self._latest: dict[int, list[int]] = {}

    def run(self, steps: int, firsts: Sequence[Sequence[float]] = (), rules: bool = True) -> Iterator[list[int]]:
        """Every timetable that was made and was worth a look, those of the orders ``firsts`` and the rules' before the
        search's; at most ``steps``."""
        made, pool = 0, []
        for rule in [*firsts, *(self._rules() if rules else ())]:
            rank: Sequence[float] = rule
            for _ in range(_TURNS):
                trace = self.scheme.trace(self.scheme.order_by(rank))
                assert trace is not None
                yield trace.starts
                made += 1
                pool.append((self._score(trace.starts), made, trace))
                if made >= steps:
                    return
                rank = self._turned(trace.starts)
        pool.sort(key=lambda one: one[:2])
        round_ = self.round
        for step in range(steps - made):
            turn, at = divmod(step, round_)
            if not at:
                score, _, here = pool[turn % len(pool)]
            heat = _WARM * (1 - at / round_) ** 2 + _COLD
            most = score - heat * log(1 - self.random.random())
            order = self.scheme.order_by(self.disturbed(here.starts))
            trace = self.scheme.trace(order, here, self._latest_for(int(most)))
            if trace is None:
                yield here.starts
                continue
            yield trace.starts
            new = self._score(trace.starts)
            if new <= most:
                score, here = new, trace

    def _score(self, starts: Sequence[int]) -> float:
        return max(starts[i] + last for i, last in self.ends) + _STARTS * sum(starts) / len(starts)

    def _latest_for(self, finish: int) -> list[int]:
        """The latest start of each task from which its way to go can still end by ``finish``."""
        found = self._latest.get(finish)
        if found is None:
            if len(self._latest) > 500:
                self._latest.clear()
            found = self._latest[finish] = [0] * len(self.spans)
            opens, closes = self.scheme.opens, self.scheme.closes
            for i in reversed(self.scheme.topological):
                last = self.way.lasts[i]
                at = finish - last if last is not None else finish
                for j, lag in self.after[i]:
                    at = min(at, found[j] - lag)
                step = self.scheme.steps[i]
                if step.attended and at + step.wait < self.scheme.overflow:
                    k = bisect_right(opens, at + step.wait) - 1
                    while k >= 0 and closes[k] - opens[k] < step.attended:
                        k -= 1
                    at = min(at, closes[k] - step.attended - step.wait) if k >= 0 else -1
                found[i] = at
        return found

    def _rules(self) -> Iterator[list[float]]:
        boards, tails, everything = self.way.boards, self.tails, range(len(self.spans))
        first = {board: min(some) for board, some in self.of_board.items()}
        # One board after another; all side by side; the longest tail first, over all or board by board; whatever
        # takes something for itself before whatever takes hands alone.
        yield [float(i) for i in everything]
        yield [float(-tail) for tail in tails]
        yield [float(i - first[boards[i]]) for i in everything]
        yield [float(self.boards.index(boards[i]) * self.way.end - tails[i]) for i in everything]
        yield [float(not things) for things in self.way.things]

    def _turned(self, starts: Sequence[int]) -> list[float]:
        """An order by how late each task could start if the last were put in first."""
        back, end = self.way.back, self.way.end
        rank = [float(-(start + span)) for start, span in zip(starts, self.spans, strict=True)]
        late = back.put_in(back.order_by(rank))
        return [float(end - start - span) for start, span in zip(late, self.spans, strict=True)]

    def disturbed(self, starts: Sequence[int]) -> list[float]:
        """Ranks for an order near that of these starts."""
        random = self.random
        rank = [float(start) for start in starts]
        way = random.random()
        if way < 0.2:
            for _ in range(int(random.integers(1, 3))):
                rank[self._any(rank)] += random.normal(0, 300)
        elif way < 0.45:
            # Right before or after another, so many places away at the most.
            order = sorted(range(len(rank)), key=starts.__getitem__)
            for _ in range(int(random.integers(1, 3))):
                at = self._any(order)
                to = min(max(at + int(random.integers(-_NEAR, _NEAR + 1)), 0), len(order) - 1)
                rank[order[at]] = starts[order[to]] + (0.5 if to > at else -0.5)
        elif way < 0.6:
            later = random.normal(0, 600)
            for i in self.of_board[self.boards[self._any(self.boards)]]:
                rank[i] += later
        elif way < 0.75:
            middle, width = starts[self._any(starts)], _WIDTHS[self._any(_WIDTHS)]
            near = [i for i, r in enumerate(rank) if abs(r - middle) < width]
            for i, by in zip(near, random.normal(0, width, len(near)), strict=True):
                rank[i] += by
        elif way < 0.92:
            thing, later = self.things[self._any(self.things)], random.normal(0, 300)
            middle = starts[self._any(starts)]
            for i, things in enumerate(self.way.things):
                if abs(starts[i] - middle) < 600 and (thing in things if thing else not things):
                    rank[i] += later
        else:
            rank = self._turned(starts)
        return rank

    def _any(self, of: Sequence[object]) -> int:
        return int(self.random.integers(len(of)))
