"""The earliest finish that can be found: rules first, then a search that goes on for as long as it is asked to.

Rules put the tasks in by one order or another; the best of them stands at once. The search then takes the order in
which the best tasks start, disturbs it (a task, a board, a stretch of time, all that use one thing) and puts everything
in anew; a worse timetable is kept now and then, less and less often (annealing). A finish alone would leave it on
plateaus, for missing the end of an evening costs a day and all else costs nothing: boards that are done earlier and
tasks that start earlier count a little too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from math import exp

import numpy as np

from planner.gluing.bounds import Bound, bounds_of
from planner.gluing.checker import faults_of
from planner.gluing.serial import Scheme, scheme_of, turned_around
from planner.gluing.terms import Timetable, TimetableError, Work

# How much of a slot a slot of the boards' mean finish and of the tasks' mean start counts.
_BOARDS, _STARTS = 0.02, 0.005
# Orders tried of each rule: as it is, and what comes of putting it in backwards and forwards again.
_TURNS = 4
# How much worse, in slots, a timetable may be and still be kept now and then: at first, and at last.
_WARM, _COLD = 2.0, 0.05
# Steps of one cooling, at the least and a task; then it starts anew from another rule's timetable.
_ROUND, _ROUND_A_TASK = 1000, 20
# Slots: an evening, a day, three days of five minutes each.
_WIDTHS = (36, 288, 864)


def find_timetable(
    work: Work,
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = 3000,
    tell: Callable[[Timetable], None] | None = None,
    seed: int = 1,
) -> Timetable:
    """The timetable with the earliest finish found before ``keep_going`` says no, ``steps`` timetables were made, or
    the floor is met. Equal steps give an equal timetable. ``tell`` gets every one that finishes earlier than the one
    before.

    Every timetable told or returned has passed the checker. Raises TimetableError where the sessions end before
    everything is done, there is less of something than one task uses, or tasks wait for one another.
    """
    _check(work)
    if not work.tasks:
        return Timetable((), 0)
    floor = bounds_of(work)[0].finish
    searched = _Search(work, np.random.default_rng(seed))
    best: Timetable | None = None
    for starts in searched.run(steps):
        finish = searched.finish_of(starts)
        if best is None or finish < best.finish:
            made = Timetable(tuple(starts), finish)
            # A link the scheme cannot mind (a most within a most) shows here; such a timetable is passed over.
            if not faults_of(made, work):
                best = made
                if tell is not None:
                    tell(best)
        if best is not None and (best.finish <= floor or not keep_going()):
            break
    if best is None:
        raise TimetableError("No timetable was found that keeps every wait.", mend="Allow more time between tasks.")
    return best


def floor_of(work: Work) -> Bound:
    """What no timetable of the work undercuts, and what it is that holds it up."""
    return bounds_of(work)[0]


def _check(work: Work) -> None:
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


class _Search:
    def __init__(self, work: Work, random: np.random.Generator) -> None:
        self.work = work
        self.random = random
        self.scheme: Scheme = scheme_of(work)
        self.end = work.sessions[-1][1] if work.sessions else 0
        self.back = turned_around(work, self.end)
        self.lasts = [task.span + task.rest for task in work.tasks]
        self.boards = sorted({task.board for task in work.tasks})
        self.things = [*sorted({what for task in work.tasks for what, _ in task.uses}), None]
        self.tails = self._tails()

    def finish_of(self, starts: Sequence[int]) -> int:
        return max(start + last for start, last in zip(starts, self.lasts, strict=True))

    def run(self, steps: int) -> Iterator[list[int]]:
        """Every timetable that was made, the rules' first; at most ``steps``."""
        made, pool = 0, []
        for rule in self._rules():
            rank: Sequence[float] = rule
            for _ in range(_TURNS):
                starts = self.scheme.put_in(self.scheme.order_by(rank))
                yield starts
                made += 1
                pool.append((self._score(starts), starts))
                if made >= steps:
                    return
                rank = self._turned(starts)
        pool.sort()
        round_ = max(_ROUND, len(self.work.tasks) * _ROUND_A_TASK)
        for step in range(steps - made):
            turn, at = divmod(step, round_)
            if not at:
                score, here = pool[turn % len(pool)]
            heat = _WARM * (1 - at / round_) ** 2 + _COLD
            starts = self.scheme.put_in(self.scheme.order_by(self._disturbed(here)))
            yield starts
            new = self._score(starts)
            if new <= score or self.random.random() < exp((score - new) / heat):
                score, here = new, starts

    def _score(self, starts: Sequence[int]) -> float:
        done = dict.fromkeys(self.boards, 0)
        for start, last, task in zip(starts, self.lasts, self.work.tasks, strict=True):
            done[task.board] = max(done[task.board], start + last)
        mean = sum(done.values()) / len(done)
        return max(done.values()) + _BOARDS * mean + _STARTS * sum(starts) / len(starts)

    def _tails(self) -> list[int]:
        tails = [0] * len(self.work.tasks)
        after: list[list[tuple[int, int]]] = [[] for _ in tails]
        for link in self.work.links:
            if link.lag >= 0:
                after[link.first].append((link.then, link.lag))
        for i in reversed(self.scheme.order_by(list(range(len(tails))))):
            tails[i] = max([self.lasts[i], *(lag + tails[j] for j, lag in after[i])])
        return tails

    def _rules(self) -> Iterator[list[float]]:
        tasks, tails = self.work.tasks, self.tails
        first = {board: min(i for i, task in enumerate(tasks) if task.board == board) for board in self.boards}
        # One board after another; all side by side; the longest tail first, over all or board by board; whatever
        # takes something for itself before whatever takes hands alone.
        yield [float(i) for i in range(len(tasks))]
        yield [float(-tail) for tail in tails]
        yield [float(i - first[task.board]) for i, task in enumerate(tasks)]
        yield [float(self.boards.index(task.board) * self.end - tails[i]) for i, task in enumerate(tasks)]
        yield [float(not task.uses) for task in tasks]

    def _turned(self, starts: Sequence[int]) -> list[float]:
        """An order by how late each task could start if the last were put in first."""
        tasks = self.work.tasks
        rank = [float(-(start + task.span)) for start, task in zip(starts, tasks, strict=True)]
        try:
            backwards = self.back.put_in(self.back.order_by(rank))
        except TimetableError:
            # Backwards the time before the first session is not enough; the order as it was serves as well.
            return [float(start) for start in starts]
        return [float(self.end - start - task.span) for start, task in zip(backwards, tasks, strict=True)]

    def _disturbed(self, starts: Sequence[int]) -> list[float]:
        random, tasks = self.random, self.work.tasks
        rank = [float(start) for start in starts]
        way = random.random()
        if way < 0.45:
            for _ in range(int(random.integers(1, 3))):
                rank[self._any(rank)] += random.normal(0, 300)
        elif way < 0.6:
            board, later = self.boards[self._any(self.boards)], random.normal(0, 600)
            rank = [r + later if task.board == board else r for r, task in zip(rank, tasks, strict=True)]
        elif way < 0.75:
            middle, width = starts[self._any(starts)], _WIDTHS[self._any(_WIDTHS)]
            rank = [r + random.normal(0, width) if abs(r - middle) < width else r for r in rank]
        elif way < 0.9:
            thing, later = self.things[self._any(self.things)], random.normal(0, 300)
            middle = starts[self._any(starts)]
            for i, task in enumerate(tasks):
                uses = any(what == thing for what, _ in task.uses) if thing else not task.uses
                if uses and abs(starts[i] - middle) < 600:
                    rank[i] += later
        else:
            rank = self._turned(starts)
        return rank

    def _any(self, of: Sequence[object]) -> int:
        return int(self.random.integers(len(of)))
