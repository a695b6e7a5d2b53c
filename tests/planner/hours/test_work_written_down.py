"""Only finished work is learned from: which operations of a job count, how much of each, and with whose minutes."""

from fractions import Fraction

import pytest

from planner.hours import WHOLE, Booked, finished_work, learn, standings

PLANNED = {"crosscut": Fraction(40), "row_glue": Fraction(4), "oil_dm2": Fraction(20)}


def booked(operation, minutes, count=None, finishes=False, job="job 1", planned=PLANNED):
    return Booked(job, operation, minutes, None if count is None else Fraction(count), finishes, planned)


def told(*entries):
    return [(dict(line.counts), line.minutes, line.job) for line in finished_work(entries)]


def test_nothing_is_learned_of_work_under_way():
    assert told(booked("crosscut", 30), booked(WHOLE, 200)) == []


def test_what_is_said_to_be_done_counts_with_all_its_minutes_and_the_plans_count():
    assert told(booked("crosscut", 30), booked("crosscut", 20, finishes=True)) == [({"crosscut": 40}, 50, "job 1")]
    # Said afterwards, without a minute more.
    assert told(booked("crosscut", 30), booked("crosscut", 0, finishes=True)) == [({"crosscut": 40}, 30, "job 1")]


@pytest.mark.parametrize(("second", "lines"), [(15, []), (16, [({"crosscut": 40}, 50, "job 1")])])
def test_counted_in_full_it_is_done_by_itself(second, lines):
    assert told(booked("crosscut", 30, 24), booked("crosscut", 20, second)) == lines


def test_where_every_entry_counts_their_sum_is_what_was_done_and_not_the_plan():
    entries = booked("row_glue", 30, 3), booked("row_glue", 20, 2, finishes=True)
    assert told(*entries) == [({"row_glue": 5}, 50, "job 1")]
    # With one left uncounted nobody knows, and the plan's count stands.
    assert told(*entries, booked("row_glue", 5)) == [({"row_glue": 4}, 55, "job 1")]


def test_without_a_plan_only_what_is_counted_is_known():
    assert told(booked("row_glue", 30, finishes=True, planned={})) == []
    assert told(booked("row_glue", 30, 3, finishes=True, planned={})) == [({"row_glue": 3}, 30, "job 1")]


def test_the_whole_board_takes_in_what_is_not_done_by_itself():
    entries = [
        booked("crosscut", 50, finishes=True),
        booked("row_glue", 30),
        booked(WHOLE, 100, finishes=True),
    ]
    assert told(*entries) == [
        ({"crosscut": 40}, 50, "job 1"),
        ({"row_glue": 4, "oil_dm2": 20}, 130, "job 1"),
    ]


def test_two_halves_of_a_board_are_a_board():
    half = Fraction(1, 2)
    assert told(booked(WHOLE, 100, half)) == []
    assert told(booked(WHOLE, 100, half), booked(WHOLE, 90, half)) == [(PLANNED, 190, "job 1")]


def test_a_board_of_which_everything_was_written_by_itself_has_nothing_left_for_the_whole():
    entries = [booked(name, 10, finishes=True) for name in PLANNED]
    assert len(told(*entries, booked(WHOLE, 60, finishes=True))) == 3


def test_the_newest_plan_counts():
    again = {"crosscut": Fraction(50)}
    assert told(booked("crosscut", 30), booked("crosscut", 20, finishes=True, planned=again)) == [
        ({"crosscut": 50}, 50, "job 1")
    ]


def test_jobs_stay_apart_and_come_in_the_order_they_ended():
    lines = told(
        booked("crosscut", 30, job="job 1"),
        booked("crosscut", 30, finishes=True, job="job 2"),
        booked("crosscut", 10, finishes=True, job="job 1"),
    )
    assert [job for _, _, job in lines] == ["job 2", "job 1"]
    assert learn(finished_work([booked("crosscut", 30, finishes=True)])).jobs == 1


def test_how_far_an_operation_has_come_is_told():
    found = standings([booked("crosscut", 30, 10), booked("row_glue", 30), booked("oil_dm2", 5, finishes=True)])
    assert [(one.minutes, one.count, one.finished, one.planned) for one in found.values()] == [
        (30, 10, False, 40),
        (30, None, False, 4),
        (5, 20, True, 20),
    ]
