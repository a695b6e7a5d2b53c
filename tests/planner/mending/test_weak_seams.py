"""Seams that too little long grain of the picture lies across, counted as the planner's own build counts them."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given

from planner.build import BoardSpec, build
from planner.measures import Length
from planner.mending import hints_of
from planner.shop import Shop
from tests.planner.mending.grids import cells_of, grid, grids, mended


def weak(pattern, least=Fraction(1, 4)):
    return [hint for hint in hints_of(pattern, least_carried=least) if hint.kind == "seam"]


def across(pattern, column: int) -> int:
    """How many rows have a run across the line left of ``column``."""
    return sum(row[column - 1] == row[column] for row in cells_of(pattern))


def line_of(hint) -> int:
    return max(column for _, column in hint.cells)


@given(grids("bw", most=6))
def test_told_are_the_seams_that_the_build_itself_finds_short_of_long_grain(pattern):
    mm = Length.of_mm
    board = build(pattern, BoardSpec("wall", mm(20), mm(18), mm(0), mm(0), "runs", 1, "sycamore"), "runs", Shop())
    short = {seam.column for seam in board.seams if not seam.carried or seam.share < Fraction(1, 4)}
    told = {line_of(hint) for hint in weak(pattern)}
    assert told == (short if pattern.height >= 3 else set()) or (len(told) == 6 and told < short)


@given(grids("bws", most=7))
def test_a_mend_lays_long_grain_across_the_seam_it_is_for(pattern):
    for hint in weak(pattern):
        assert across(mended(pattern, hint), line_of(hint)) > across(pattern, line_of(hint))


def test_a_seam_through_every_row_is_told_with_its_place_and_staggered():
    flag = grid("bbbwww bbbwww bbbwww bbbwww")
    (hint,) = weak(flag)
    assert hint.words == (
        "No run lies across the seam between columns 3 and 4: only the top and bottom borders would hold it."
    )
    assert mended(flag, hint) == grid("bbbwww bbbbww bbbwww bbbbww")


def test_the_longest_bare_stretch_is_told_where_a_few_rows_lie_across():
    (hint,) = weak(grid("bbbb bbww bbww bbww bbww bbww"))
    assert hint.words == (
        "Only 1 of 6 rows has a run across the seam between columns 2 and 3; 5 at a stretch have none."
    )
    assert {row for row, _ in hint.cells} == {1, 2, 3, 4, 5}


def test_how_much_is_enough_is_the_shops_own_setting():
    pattern = grid("bbbb bbbb bbww bbww bbww")
    assert weak(pattern) == [] and len(weak(pattern, Fraction(1, 2))) == 1


def test_many_weak_seams_are_told_a_few_at_a_time_and_the_rest_counted():
    stripes = grid(" ".join(["bbwwbbwwbbwwbbwwbbww"] * 3))
    assert len(weak(stripes)) == 6 and weak(stripes)[-1].words.endswith("3 more are like it.")
