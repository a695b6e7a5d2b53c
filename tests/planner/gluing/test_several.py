"""Boards with days of their own, one pair of hands: held against every order there is, and an example by hand.

Source: J. R. Jackson, Scheduling a production line to minimize maximum tardiness, research report 43, University of
California, Los Angeles, 1955 (from memory): whoever does what is due first before is in time wherever anybody can be.
"""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest

from planner.gluing import HANDS, GlueWork, Link, Step, Task, Work, by_their_days, faults_of, held_up, only

OPEN = ((0, 400),)


def board(place: int, name: str, attended: int, **more) -> tuple[Task, Step]:
    key = f"{place}/{name}"
    return Task(key, place, attended, **more), Step(key, name, "a stage", place, 1, name)


def made(*tasks, links=(), sessions=OPEN, **there) -> GlueWork:
    work = Work(tuple(task for task, _ in tasks), tuple(links), {HANDS: 1, **there}, tuple(sessions))
    return GlueWork(work, tuple(step for _, step in tasks))


@pytest.mark.parametrize("seed", range(12))
def test_where_any_order_has_every_board_in_time_this_one_has(seed):
    random = np.random.default_rng(seed)
    takes = [int(n) for n in random.integers(1, 20, 5)]
    dues = {place: int(n) for place, n in enumerate(random.integers(10, 70, 5), start=1)}

    def late(order) -> int:
        at = [sum(takes[k - 1] for k in order[: n + 1]) for n in range(len(order))]
        return sum(end > dues[k] for end, k in zip(at, order, strict=True))

    found = by_their_days(made(*(board(n, "cut", many) for n, many in enumerate(takes, start=1))), dues)
    assert faults_of(found.timetable, found.made.work) == ()
    told = sum(found.finishes[place] > due for place, due in dues.items())
    best = min(map(late, permutations(range(1, 6))))
    assert told >= best and (told == 0) is (best == 0)
    assert sorted(found.finishes.values())[-1] == sum(takes)


def test_an_example_by_hand_with_one_jig_and_two_evenings():
    # Two boards of a row each, 10 slots of hands and 20 in the one jig; evenings from 0 to 40 and from 100 to 140.
    rows = [board(n, "row", 10, hold=20, uses=(("jigs", 1),)) for n in (1, 2)]
    after = [board(n, "sand", 8) for n in (1, 2)]
    links = [Link(0, 2, 30), Link(1, 3, 30)]
    work = made(*rows, *after, links=links, sessions=((0, 40), (100, 140)), jigs=1)
    found = by_their_days(work, {2: 40, 1: 200})
    # Board 2 is due first: glued at 0, sanded at 30. The jig is free at 30, but no 10 slots are after 38.
    assert found.finishes == {2: 38, 1: 138} and found.timetable.starts == (100, 0, 130, 30)
    held = held_up(found, 1)
    assert (held.work, dict(held.waits), held.hours + sum(held.taken.values())) == (18, {"row": 20}, 100)
    # With a second jig both are glued the first evening, and only one of them is sanded in it.
    more = GlueWork(Work(work.work.tasks, work.work.links, {HANDS: 1, "jigs": 2}, work.work.sessions), work.steps)
    assert by_their_days(more, {2: 40, 1: 200}).finishes == {2: 38, 1: 108}
    assert by_their_days(work, {2: 40, 1: 200}, first=[1]).finishes == {1: 38, 2: 138}


def test_what_the_sessions_do_not_hold_is_left_out_and_what_is_due_first_stays():
    work = made(board(1, "cut", 30), board(2, "cut", 30), board(3, "cut", 30), sessions=((0, 60),))
    found = by_their_days(work, {1: 50, 2: 40, 3: 90})
    assert found.without == (3,) and found.finishes == {2: 30, 1: 60}
    assert {step.board for step in found.made.steps} == {1, 2}
    assert by_their_days(work, {1: 50}, last=[1]).without == (1,)


def test_some_of_the_boards_keep_their_own_links():
    work = made(board(1, "cut", 3), board(2, "cut", 4), board(2, "row", 5), links=[Link(1, 2, 4)])
    some = only(work, {2})
    assert [task.name for task in some.work.tasks] == ["2/cut", "2/row"] and some.work.links == (Link(0, 1, 4),)
    assert by_their_days(some, {}).finishes == {2: 9}
    assert by_their_days(only(work, ()), {}).finishes == {}
