"""A timetable with tasks that are alike in the order a maker counts them.

A search puts row 11 before row 3 as readily as after it, for both take the same hands and jig. Where such two can
change places and nothing else has to move, they do: the same evenings, the same finish, and rows that come in order.
"""

from __future__ import annotations

from planner.gluing.checker import faults_of
from planner.gluing.terms import Task, Timetable, Work


def in_order(work: Work, timetable: Timetable) -> Timetable:
    """The same timetable with as many of the tasks that are alike (of one board, as long, using and holding the same)
    in the order of ``work.tasks`` as can change places two at a time. It starts and finishes when it did."""
    starts = list(timetable.starts)
    touching: list[list[tuple[int, int, int]]] = [[] for _ in starts]
    for link in work.links:
        for i in {link.first, link.then}:
            touching[i].append((link.first, link.then, link.lag))
    alike: dict[tuple[object, ...], list[int]] = {}
    for i, task in enumerate(work.tasks):
        alike.setdefault(_looks(task), []).append(i)
    for group in alike.values():
        _sort(group, starts, touching)
    made = Timetable(tuple(starts), timetable.finish)
    return timetable if faults_of(made, work) else made


def _looks(task: Task) -> tuple[object, ...]:
    return task.board, task.attended, task.hold, task.uses, task.rest


def _sort(group: list[int], starts: list[int], touching: list[list[tuple[int, int, int]]]) -> None:
    """Let two change places as long as that brings the sooner counted one forward and keeps every link."""
    moved = True
    while moved:
        moved = False
        for k, i in enumerate(group):
            for j in group[k + 1 :]:
                if starts[i] > starts[j]:
                    starts[i], starts[j] = starts[j], starts[i]
                    if all(starts[b] >= starts[a] + lag for a, b, lag in (*touching[i], *touching[j])):
                        moved = True
                    else:
                        starts[i], starts[j] = starts[j], starts[i]
