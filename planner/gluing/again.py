"""What is left of a timetable after some of it was done, put in again in the order it stood in; in under a second."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from planner.gluing.bundles import in_order
from planner.gluing.checker import faults_of
from planner.gluing.search import check, find_timetable
from planner.gluing.terms import Timetable, TimetableError, Work

# Timetables made: the order as it stood and the rules, each four ways, and a short look round.
_STEPS = 120


def find_again(
    work: Work,
    before: Mapping[str, int],
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = _STEPS,
    seed: int = 1,
) -> Timetable:
    """The timetable of what is left; ``before`` gives by task's name when it stood to start. It finishes no later than
    the old starts where they still can be kept, than the same order put in anew, or than the rules. Where nothing is
    gained by it the old starts stay, so that no evening is moved for nothing. Raises TimetableError like
    ``find_timetable``."""
    check(work)
    rank = _ranks(work, before)
    kept = _as_it_stood(work, before)
    try:
        found = find_timetable(work, keep_going, steps, seed=seed, firsts=[rank])
    except TimetableError:
        if kept is None:
            raise
        return kept
    return found if kept is None or found.finish < kept.finish else kept


def _as_it_stood(work: Work, before: Mapping[str, int]) -> Timetable | None:
    """The old starts, if everything has one and they still can be lived by."""
    if any(task.name not in before for task in work.tasks):
        return None
    starts = tuple(before[task.name] for task in work.tasks)
    finish = max((at + task.span + task.rest for at, task in zip(starts, work.tasks, strict=True)), default=0)
    made = Timetable(starts, finish)
    return None if faults_of(made, work) else made


def _ranks(work: Work, before: Mapping[str, int]) -> list[float]:
    """When each stood to start; what is new comes right after what it waits for."""
    waits: list[list[tuple[int, int]]] = [[] for _ in work.tasks]
    for link in work.links:
        if link.lag >= 0:
            waits[link.then].append((link.first, link.lag))
    ranks = [0.0] * len(waits)
    for i in in_order(waits):
        stood = before.get(work.tasks[i].name)
        ranks[i] = float(stood) if stood is not None else max([0.0, *(ranks[p] + lag for p, lag in waits[i])])
    return ranks
