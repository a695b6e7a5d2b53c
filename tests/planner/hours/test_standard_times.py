"""Hours: standard times by counts, on worked boards and against what the trade knows."""

import json
from fractions import Fraction
from pathlib import Path

import pytest

from planner.cutting import lumber_need
from planner.errors import PlannerError
from planner.hours import DEFAULT_TIMES, OPERATIONS, count_operations, likely_minutes
from tests.planner.cutting.boards import EVERY_STOCK, PLAIN, board

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-prices.json").read_text())["hours"]
PICTURE = ["-bbw-", "-bww-", "-----"]


def counts_of(made):
    return count_operations(made, lumber_need(made, PLAIN, EVERY_STOCK))


def test_the_worked_board_of_sixteen_by_sixteen_takes_667_minutes():
    counts = {name: Fraction(count) for name, count in WORKED["counts"].items()}
    assert likely_minutes(DEFAULT_TIMES, counts).value == int(WORKED["minutes"]) == 667


def test_the_worked_board_has_a_term_for_each_of_the_ten_operations():
    counts = {name: Fraction(count) for name, count in WORKED["counts"].items()}
    figure = likely_minutes(DEFAULT_TIMES, counts)
    assert [term.figure.value for term in figure.terms] == [45, 30, 128, 64, 60, 90, 48, 150, 50, 2]
    assert all(term.figure.rule and len(term.figure.terms) == 2 for term in figure.terms)
    assert figure.unit == "min" and "sum" in figure.rule


def test_crosscutting_about_150_tiles_takes_about_two_hours_set_up_included():
    """Common practice, no source: from prepared strips, two or three at a time, by an experienced maker. The
    default times must land within a quarter of it."""
    made = board(["b" * 15] * 10)
    counts = counts_of(made)
    sawing = {name: counts[name] for name in ("setup_job", "crosscut", "stop_change")}
    assert counts["crosscut"] >= 150
    assert 90 <= likely_minutes(DEFAULT_TIMES, sawing).value <= 150


def test_a_board_is_counted_as_it_is_made():
    made = board(PICTURE, side=20, end=30)
    counts = counts_of(made)
    need = lumber_need(made, PLAIN, EVERY_STOCK)
    # Rows one and two: border, three tiles, border; row three is one piece right through; two borders.
    assert made.counts.pieces == 5 + 5 + 1 + 2
    assert counts["crosscut"] == 13 + sum(wood.strips for wood in need.woods)
    assert counts["rip_strip"] == sum(wood.strips for wood in need.woods)
    assert counts["row_glue"] == 2
    assert counts["joint"] == 4 + 4
    assert counts["row_join"] == 2
    assert counts["strip"] == 2
    assert counts["setup_job"] == 1


def test_both_faces_are_sanded_and_oiled_and_the_edges_are_not_counted():
    # 5 × 20 + 2 × 20 by 3 × 20 + 2 × 30: 140 by 120 mm, twice, in square decimetres.
    counts = counts_of(board(PICTURE, side=20, end=30))
    assert counts["sand_dm2"] == counts["oil_dm2"] == Fraction(2 * 140 * 120, 10_000)


def test_getting_ready_and_stop_settings_are_paid_once_however_many_boards():
    one, five = counts_of(board(PICTURE, side=20)), counts_of(board(PICTURE, side=20, quantity=5))
    for once in ("setup_job", "stop_change"):
        assert five[once] == one[once]
    for each in ("row_glue", "joint", "row_join", "strip", "sand_dm2", "oil_dm2"):
        assert five[each] == 5 * one[each]
    # Strips are shared between the boards, so there are fewer than five times as many to rip and to square.
    assert one["rip_strip"] < five["rip_strip"] < 5 * one["rip_strip"]
    assert five["crosscut"] - five["rip_strip"] == 5 * (one["crosscut"] - one["rip_strip"])


def test_every_distinct_length_is_a_stop_setting():
    # As runs: 1, 2 and 3 tiles long, and nothing else.
    assert counts_of(board(["bbw", "bww", "bbb"], method="runs"))["stop_change"] == 3
    assert counts_of(board(["bbw", "bww", "bbb"]))["stop_change"] == 1


def test_the_makers_own_time_takes_the_place_of_the_default_and_the_others_stay():
    counts = counts_of(board(PICTURE, side=20))
    usual = likely_minutes(DEFAULT_TIMES, counts).value
    assert likely_minutes({"crosscut": Fraction(1)}, counts).value == usual + counts["crosscut"] / 2


def test_a_time_of_nought_is_allowed_and_one_below_it_is_refused_by_name():
    counts = {"crosscut": Fraction(10)}
    assert likely_minutes({"crosscut": Fraction(0)}, counts).value == 0
    with pytest.raises(PlannerError, match="Crosscutting parts") as refusal:
        likely_minutes({"crosscut": Fraction(-1)}, counts)
    assert refusal.value.field == "crosscut"


def test_an_operation_nobody_knows_is_refused_rather_than_left_out():
    for times, counts in (({"polishing": Fraction(1)}, {}), ({}, {"polishing": Fraction(1)})):
        with pytest.raises(PlannerError, match="polishing"):
            likely_minutes(times, counts)


def test_every_operation_has_a_default():
    assert list(DEFAULT_TIMES) == [operation.key for operation in OPERATIONS]
    assert all(time > 0 for time in DEFAULT_TIMES.values())
