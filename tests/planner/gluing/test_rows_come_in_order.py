"""Tasks that are alike come in the order they are counted in, where nothing else has to move for it."""

from __future__ import annotations

import random

from planner.gluing import Link, Task, Timetable, Work, faults_of, find_timetable, in_order
from tests.support.glue_works import boards


def inversions(work: Work, starts) -> int:
    alike = {}
    for i, task in enumerate(work.tasks):
        alike.setdefault((task.board, task.attended, task.hold, task.uses, task.rest), []).append(starts[i])
    return sum(a > b for group in alike.values() for k, a in enumerate(group) for b in group[k + 1 :])


def test_rows_that_wait_for_nothing_of_their_own_come_in_order():
    work = Work(tuple(Task(f"row {n}", 0, 1) for n in range(9)), (), {"hands": 1}, ((0, 20),))
    starts = list(range(9))
    random.Random(3).shuffle(starts)
    assert in_order(work, Timetable(tuple(starts), 9)).starts == tuple(range(9))


def test_a_row_does_not_come_before_the_lot_it_is_cut_in():
    work = Work(
        (Task("lot", 0, 2), Task("row 1", 0, 1), Task("row 2", 0, 1)), (Link(0, 1, 2),), {"hands": 1}, ((0, 9),)
    )
    assert in_order(work, Timetable((1, 3, 0), 4)).starts == (1, 3, 0)


def test_the_same_evenings_and_finish_stay_and_no_rule_is_broken():
    work = boards(12, count=2, jigs=2)
    found = find_timetable(work, steps=300, seed=4)
    made = in_order(work, found)
    assert made.finish == found.finish and sorted(made.starts) == sorted(found.starts)
    assert faults_of(made, work) == () and inversions(work, made.starts) <= inversions(work, found.starts)
