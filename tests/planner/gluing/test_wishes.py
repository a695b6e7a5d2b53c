"""Fewest sessions, by a date, what one more of something brings, and planning again after some of it is done."""

import random
from dataclasses import replace
from itertools import combinations

import pytest

from planner.gluing import (
    Link,
    Task,
    Timetable,
    TimetableError,
    Work,
    advice,
    bounds_of,
    by_date,
    faults_of,
    fewest_possible,
    fewest_sessions,
    find_again,
    find_timetable,
    floor_of,
    sessions_of,
    start_of,
)
from tests.planner.gluing.test_timetables import every_way, small
from tests.support.glue_cases import case
from tests.support.glue_works import boards

WEEK = 7 * 24 * 12


# --- the checker against a few plain lines ------------------------------------------------------------------


def sound(starts, finish, work):
    """The rules again, slot by slot and with nothing shared."""
    for task, start in zip(work.tasks, starts, strict=True):
        if start < 0 or (
            task.attended and not any(o <= start and start + task.attended <= c for o, c in work.sessions)
        ):
            return False
    for what, many in work.capacity.items():
        for now in range(max(starts) + 1):
            need = 0
            for task, start in zip(work.tasks, starts, strict=True):
                if what == "hands":
                    need += start <= now < start + task.attended
                elif start <= now < start + task.attended + task.hold:
                    need += dict(task.uses).get(what, 0)
            if need > many:
                return False
    if any(starts[link.then] - starts[link.first] < link.lag for link in work.links):
        return False
    return finish == max(s + t.attended + t.hold + t.rest for t, s in zip(work.tasks, starts, strict=True))


def test_the_checker_agrees_with_a_few_plain_lines():
    rng, verdicts = random.Random(5), set()
    for seed in range(60):
        work = small(random.Random(seed))
        try:
            starts = list(find_timetable(work, steps=5).starts)
        except TimetableError:
            starts = [rng.randint(2, 20) for _ in work.tasks]
        for _ in range(8):
            finish = max(s + t.span + t.rest for s, t in zip(starts, work.tasks, strict=True))
            verdict = sound(starts, finish, work)
            assert (faults_of(Timetable(tuple(starts), finish), work) == ()) == verdict
            verdicts.add(verdict)
            starts[rng.randrange(4)] += rng.choice((-2, -1, 1, 2))
    assert verdicts == {True, False}


# --- cases of every kind ------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(300, 316))
def test_every_kind_of_work_gets_a_timetable_that_can_be_lived_by(seed):
    work = case(seed)
    found = find_timetable(work, steps=60)
    assert faults_of(found, work) == ()
    assert found.finish >= floor_of(work).finish


def test_two_tied_to_one_and_one_tied_behind_another_keep_their_mosts():
    # Laid on, wiped within 4, looked at within 3 of the wiping; and a lid put back within 6 of the laying on.
    tasks = tuple(Task(name, 0, many) for name, many in (("lay", 2), ("wipe", 1), ("look", 1), ("lid", 2), ("saw", 3)))
    links = (
        Link(0, 1, 3),
        Link(1, 0, -4),
        Link(1, 2, 1),
        Link(2, 1, -3),
        Link(0, 3, 2),
        Link(3, 0, -6),
    )
    work = Work(tasks, links, {"hands": 1}, ((0, 4), (10, 18)))
    found = find_timetable(work, steps=100)
    assert faults_of(found, work) == ()
    # Six slots of hands in the second session; there is room for the saw in the first.
    assert found.finish == 16


def test_oil_is_laid_on_one_board_before_it_is_wiped_off_the_other():
    # Laid on, laid on, wiped, wiped: 3 + 3 + 1 + 1 slots of hands in a session of 8, soaking 3.
    tasks = tuple(
        Task(f"{what} {board}", board, many, hold)
        for board in (0, 1)
        for what, many, hold in (("lay", 3, 3), ("wipe", 1, 0))
    )
    links = tuple(Link(2 * b, 2 * b + 1, 6) for b in (0, 1)) + tuple(Link(2 * b + 1, 2 * b, -8) for b in (0, 1))
    work = Work(tasks, links, {"hands": 1}, ((0, 10), (50, 60), (100, 110)))
    found = find_timetable(work, steps=2000)
    assert faults_of(found, work) == ()
    assert found.finish == 10


# --- fewest sessions ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "jigs", "most"),
    # An exact solver (CP-SAT of OR-tools), the finish capped a week past the earliest; all but the last proved.
    [(8, 1, 4), (8, 2, 3), (16, 1, 4), (24, 2, 5)],
)
def test_a_board_takes_no_more_sessions_than_an_exact_solver_needed(side, jigs, most):
    work = boards(side, jigs=jigs)
    earliest = find_timetable(work, steps=300)
    found = fewest_sessions(work, steps=3000)
    assert faults_of(found, work) == ()
    assert fewest_possible(work, found.finish) <= len(sessions_of(work, found.starts)) <= most
    assert found.finish <= earliest.finish + WEEK


@pytest.mark.parametrize("seed", range(8))
def test_small_work_takes_as_few_sessions_as_any_choice_of_them(seed):
    work = small(random.Random(seed))
    latest = 40
    for many in range(1, len(work.sessions) + 1):
        ways = [every_way(replace(work, sessions=chosen)) for chosen in combinations(work.sessions, many)]
        if done := [finish for finish in ways if finish is not None and finish <= latest]:
            break
    else:
        return
    found = fewest_sessions(work, steps=600, latest=latest)
    assert faults_of(found, work) == ()
    assert (len(sessions_of(work, found.starts)), found.finish) == (many, min(done))


def test_equal_steps_take_equal_sessions_and_a_date_is_kept():
    work = boards(16)
    one = fewest_sessions(work, steps=800, latest=4000)
    assert fewest_sessions(work, steps=800, latest=4000) == one
    assert one.finish <= 4000


# --- by a date ----------------------------------------------------------------------------------------------


def from_slot(work, start):
    return replace(
        work, sessions=tuple((max(opens, start), closes) for opens, closes in work.sessions if closes > start)
    )


@pytest.mark.parametrize("seed", range(6))
def test_small_work_begins_as_late_as_any_way_that_is_in_time(seed):
    work = small(random.Random(seed))
    best = every_way(work)
    if best is None:
        return
    due = best + 3
    found = by_date(work, due, steps=200)
    assert faults_of(found.timetable, work) == ()
    assert found.in_time
    assert found.timetable.finish <= due
    assert found.start == start_of(work, found.timetable.starts) <= found.latest
    later = every_way(from_slot(work, found.start + 1))
    assert later is None or later > due


def test_a_board_of_eight_for_a_date_starts_no_later_than_a_proved_evening():
    found = by_date(boards(8), 2526, steps=500)
    assert found.proved
    assert found.timetable.finish <= 2526
    # Monday of the first week, 21:20: one slot later the jig is too late.
    assert found.start == found.latest == 256
    assert found.bound.what == "jig"


def test_a_date_that_cannot_be_kept_says_when_it_can_be_done_and_what_limits_it():
    work = boards(16)
    found = by_date(work, 3421, steps=500)
    assert not found.in_time
    assert found.proved
    assert found.timetable.finish == 3422
    assert found.bound.what == "jig"
    assert found.latest is None


def test_what_comes_before_any_hands_is_not_put_off_for_a_date():
    tasks = (Task("wood on its way", 0, 0, 30), Task("cut", 0, 4), Task("glue", 0, 3, 6))
    work = Work(tasks, (Link(0, 1, 30), Link(1, 2, 4)), {"hands": 1}, ((0, 12), (24, 40), (60, 80)))
    found = by_date(work, 80, steps=50)
    assert found.timetable.starts[0] == 0
    assert found.start == 67
    assert found.proved


# --- what would help ----------------------------------------------------------------------------------------


def test_a_second_jig_pays_for_a_board_of_sixteen_and_nothing_else_does():
    told = advice(boards(16))
    assert told.limit.what == "jig"
    assert told.proved
    jig = told.more[0]
    assert (jig.what, jig.many, jig.pays, jig.slots) == ("jig", 1, True, 3422 - 2447)
    assert jig.sessions == 2
    assert jig.floor.finish == 2447
    assert not any(one.pays for one in told.more[1:])
    # Five long clamps are one load.
    assert {one.what: one.many for one in told.more}["long_clamps"] == 5


@pytest.mark.parametrize("seed", range(320, 328))
def test_what_is_told_of_one_more_was_found_and_is_no_worse(seed):
    work = case(seed, boards=2)
    told = advice(work, steps=60)
    assert faults_of(told.timetable, work) == ()
    for one in told.more:
        richer = replace(work, capacity={**work.capacity, one.what: work.capacity[one.what] + one.many})
        assert bounds_of(richer)[0] == one.floor
        if one.found is not None:
            assert faults_of(one.found, richer) == ()
            assert one.slots == told.timetable.finish - one.found.finish >= 0
        assert one.floor.finish <= told.timetable.finish - one.slots


# --- planning again -----------------------------------------------------------------------------------------


def named(work):
    """Every task by a name of its own."""
    return replace(work, tasks=tuple(replace(task, name=f"{task.board}/{task.name}") for task in work.tasks))


def stands(work, timetable):
    return {task.name: start for task, start in zip(work.tasks, timetable.starts, strict=True)}


@pytest.mark.parametrize("seed", range(340, 352))
def test_planned_again_with_nothing_changed_it_is_done_no_later(seed):
    work = named(case(seed))
    stood = find_timetable(work, steps=150)
    again = find_again(work, stands(work, stood), steps=20)
    assert faults_of(again, work) == ()
    assert again.finish <= stood.finish


@pytest.mark.parametrize("seed", range(340, 348))
def test_after_an_evening_what_is_left_is_done_no_later_than_it_stood(seed):
    work = named(case(seed))
    stood = find_timetable(work, steps=150)
    ends = sorted(closes for _, closes in work.sessions)[2]
    done = {i for i, start in enumerate(stood.starts) if start < ends}
    kept = [i for i in range(len(work.tasks)) if i not in done]
    place = {i: k for k, i in enumerate(kept)}
    # What still sets or cures stands as a wait from slot 0, on one task that is over at once.
    tasks = (*(work.tasks[i] for i in kept), Task("under way", 0, 0))
    links = [Link(place[x.first], place[x.then], x.lag) for x in work.links if x.first in place and x.then in place]
    links += [
        Link(len(kept), place[x.then], stood.starts[x.first] + x.lag)
        for x in work.links
        if x.first in done and x.then in place and x.lag >= 0
    ]
    left = Work(tasks, tuple(links), work.capacity, tuple(s for s in work.sessions if s[0] >= ends))
    again = find_again(left, stands(work, stood) | {"under way": 0})
    assert faults_of(again, left) == ()
    assert again.finish <= stood.finish


def test_a_step_that_is_new_finds_its_place_among_those_that_stood():
    work = boards(8)
    stood = find_timetable(work, steps=50)
    before = {name: start for name, start in stands(work, stood).items() if name != "edges"}
    again = find_again(work, before, steps=10)
    assert faults_of(again, work) == ()
    assert again.finish == stood.finish
