"""Timetables of glue-ups: known optima, every small case against every way there is, and what none may undercut."""

import random

import pytest

from planner.gluing import Link, Task, Timetable, TimetableError, Work, bounds_of, faults_of, find_timetable, floor_of
from planner.gluing.serial import scheme_of
from tests.support.glue_works import SLOT, boards, sessions

EVENING = 3 * 60 // SLOT
DAY = 24 * 60 // SLOT


@pytest.mark.parametrize(
    ("side", "jigs", "hands", "optimum"),
    [
        # Finishes an exact solver (CP-SAT of OR-tools 9.15) proved for these very task graphs, in slots of five minutes
        # from Monday 0:00. The 16 by 16 board with one jig was worked by hand besides: Friday 21:10 of the second week.
        (8, 1, 1, 2426),
        (8, 2, 1, 2258),
        (8, 3, 1, 2258),
        (16, 1, 1, 3422),
        (16, 2, 1, 2447),
        (16, 3, 1, 2447),
        (24, 1, 1, 3717),
        (24, 2, 1, 3717),
        (24, 3, 1, 3717),
        (32, 1, 1, 4495),
        (32, 2, 1, 4003),
        (32, 3, 1, 4003),
        (16, 1, 2, 3422),
        (16, 3, 2, 2438),
        (32, 1, 2, 4495),
        (32, 3, 2, 4003),
    ],
)
def test_one_board_is_done_as_early_as_it_can_be(side, jigs, hands, optimum):
    work = boards(side, jigs=jigs, hands=hands)
    # What a search of two seconds makes at the least; it ends sooner where the floor is met.
    found = find_timetable(work, steps=12_000)
    assert faults_of(found, work) == ()
    assert found.finish == optimum
    assert floor_of(work).finish <= optimum


def test_a_second_jig_is_what_a_board_of_sixteen_waits_for():
    one, two = (bounds_of(boards(16, jigs=jigs)) for jigs in (1, 2))
    assert one[0].what == "jig"
    assert one[0].finish > two[0].finish
    # With two jigs there is nothing left to gain by a third: hands hold it up as much.
    assert bounds_of(boards(16, jigs=3))[0].finish == two[0].finish


@pytest.mark.parametrize("jigs", [1, 2])
def test_several_boards_are_better_than_one_after_the_other_and_no_better_than_the_floor(jigs):
    work = boards(8, count=3, jigs=jigs)
    found = find_timetable(work, steps=1200)
    scheme = scheme_of(work)
    in_turn = scheme.put_in(scheme.order_by(list(range(len(work.tasks)))))
    last = max(start + task.span + task.rest for start, task in zip(in_turn, work.tasks, strict=True))
    assert faults_of(found, work) == ()
    assert floor_of(work).finish <= found.finish <= last


def test_equal_steps_give_an_equal_timetable_and_every_one_told_is_earlier_than_the_last():
    work, told = boards(8, count=2), []
    one = find_timetable(work, steps=200, tell=told.append)
    assert find_timetable(work, steps=200) == one
    assert [t.finish for t in told] == sorted({t.finish for t in told}, reverse=True)
    assert told[-1] == one
    assert all(faults_of(timetable, work) == () for timetable in told)


def test_it_stops_when_it_is_told_to_with_the_best_so_far():
    work, asked = boards(8, count=2), []
    found = find_timetable(work, keep_going=lambda: asked.append(1) or len(asked) < 5)
    assert len(asked) == 5
    assert faults_of(found, work) == ()


# --- small work against every way there is -------------------------------------------------------------------


def small(rng):
    """Four tasks, two evenings of a few slots; now and then one has to follow another within a most."""
    tasks = tuple(
        Task(
            f"task {i}",
            rng.randrange(2),
            rng.randint(1, 3),
            rng.randint(0, 3),
            rng.choice(((), (("jig", 1),), (("clamp", rng.randint(1, 2)),))),
            rng.choice((0, 0, 4)),
        )
        for i in range(4)
    )
    links = [
        Link(i, j, tasks[i].span + rng.randint(0, 2)) for i in range(4) for j in range(i + 1, 4) if rng.random() < 0.3
    ]
    if links and rng.random() < 0.4:
        tied = rng.choice(links)
        # Only what nothing else holds up can be asked to come soon.
        if sum(link.then == tied.then for link in links) == 1:
            links.append(Link(tied.then, tied.first, -(tied.lag + rng.randint(0, 4))))
    capacity = {"hands": rng.randint(1, 2), "jig": 1, "clamp": 2}
    return Work(tasks, tuple(links), capacity, ((2, 7), (12, 18), (22, 30)))


def every_way(work):
    """The earliest finish of all, by trying every start of every task."""
    best = None
    starts = []

    def fits(start, task):
        now = [*starts, start]
        n = len(now)
        part = Work(
            work.tasks[:n],
            tuple(link for link in work.links if link.first < n and link.then < n),
            work.capacity,
            work.sessions,
        )
        finish = max(s + t.span + t.rest for s, t in zip(now, work.tasks, strict=False))
        return faults_of(Timetable(tuple(now), finish), part) == ()

    def go_on():
        nonlocal best
        if len(starts) == len(work.tasks):
            finish = max(s + t.span + t.rest for s, t in zip(starts, work.tasks, strict=True))
            best = finish if best is None else min(best, finish)
            return
        task = work.tasks[len(starts)]
        for start in range(2, 30 - task.attended + 1):
            if best is not None and start + task.span + task.rest >= best:
                break
            if fits(start, task):
                starts.append(start)
                go_on()
                starts.pop()

    go_on()
    return best


@pytest.mark.parametrize("seed", range(40))
def test_small_work_is_done_as_early_as_the_best_of_every_way(seed):
    work = small(random.Random(seed))
    best = every_way(work)
    if best is None:
        with pytest.raises(TimetableError):
            find_timetable(work, steps=50)
        return
    found = find_timetable(work, steps=150)
    assert faults_of(found, work) == ()
    assert found.finish == best
    assert all(bound.finish <= best for bound in bounds_of(work))


# --- what cannot be ------------------------------------------------------------------------------------------


def test_a_task_longer_than_any_session_is_named():
    work = Work((Task("flatten", 0, EVENING + 1),), (), {"hands": 1}, sessions(1)[:5])
    with pytest.raises(TimetableError, match="flatten takes 185 minutes"):
        find_timetable(work)


def test_more_clamps_than_there_are_is_named():
    work = Work((Task("join", 0, 3, 9, (("clamp", 5),)),), (), {"hands": 1, "clamp": 4}, sessions(1))
    with pytest.raises(TimetableError, match="uses 5 of clamp; there are 4"):
        find_timetable(work)


def test_sessions_that_end_too_soon_are_named():
    work = boards(16, weeks=1)
    with pytest.raises(TimetableError, match="sessions end"):
        find_timetable(work)


def test_tasks_that_wait_for_one_another_are_named():
    tasks = (Task("one", 0, 1), Task("other", 0, 1))
    with pytest.raises(TimetableError, match="ring"):
        find_timetable(Work(tasks, (Link(0, 1, 1), Link(1, 0, 1)), {"hands": 1}, sessions(1)))


def test_nothing_to_do_is_done_at_once():
    assert find_timetable(Work((), (), {"hands": 1}, sessions(1))) == Timetable((), 0)
