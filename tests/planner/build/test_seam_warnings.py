"""A seam held by end grain is said before the glue, with where it lies, why it matters and what mends it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from planner.build import Seam
from planner.build.seams import weakest_of
from planner.build.warnings import seam_warnings
from planner.measures import ZERO, Length
from planner.shop import Shop
from tests.planner.build.test_joints_and_seams import board_of

mm = Length.of_mm
STRIPES = [["beech", "sapele"]] * 6


def seam(column, carried, gap, of=100):
    return Seam(column, mm(carried), mm(of), mm(gap))


def test_a_seam_that_nothing_carries_is_warned_of_with_its_reason_and_a_mend():
    board = board_of(STRIPES, "runs")
    (warning,) = board.warnings
    assert "0 mm of 120 mm" in warning.words and "120 mm at a stretch" in warning.words
    assert "End-grain" in warning.why and "borders" in warning.mend
    deep = board_of(STRIPES, "runs", end=mm(30))
    assert deep.weakest.share == Fraction(60, 180) and not deep.warnings


def test_nothing_across_is_warned_of_even_by_a_maker_who_asks_for_no_share():
    careless = Shop(least_carried=Fraction(0))
    assert board_of(STRIPES, "runs", shop=careless).warnings
    assert not board_of(STRIPES, "runs", end=mm(1), shop=careless).warnings


def test_a_seam_carried_just_as_far_as_the_shop_asks_is_not_warned_of():
    assert not seam_warnings([seam(1, 25, 50)], 2, "runs", Shop(least_carried=Fraction(1, 4)))
    assert seam_warnings([seam(1, 24, 50)], 2, "runs", Shop(least_carried=Fraction(1, 4)))


@pytest.mark.parametrize(
    ("column", "where"),
    [
        (0, "between the left border and the picture"),
        (1, "between columns 1 and 2"),
        (4, "between columns 4 and 5"),
        (5, "between the picture and the right border"),
    ],
)
def test_it_says_where_the_seam_lies_as_the_maker_counts_columns(column, where):
    (warning,) = seam_warnings([seam(column, 0, 100)], 5, "tiles", Shop())
    assert warning.words.startswith(f"Weakest seam, {where}: ")


def test_of_seams_carried_alike_the_one_with_the_longest_bare_stretch_is_weakest():
    assert weakest_of((seam(1, 20, 40), seam(2, 20, 80), seam(3, 30, 90))).column == 2
    assert weakest_of(()) is None


@pytest.mark.parametrize(
    ("others", "words"), [(0, "without any."), (1, "One other seam falls"), (3, "3 other seams fall")]
)
def test_it_says_how_many_other_seams_fall_short(others, words):
    seams = [seam(1, 0, 90), seam(9, 60, 10)] + [seam(2 + n, 10, 50) for n in range(others)]
    (warning,) = seam_warnings(seams, 12, "tiles", Shop())
    assert words in warning.words
    assert ("other" in warning.words) is bool(others)


def test_runs_are_no_mend_for_a_board_already_built_of_runs():
    tiles, runs = board_of(STRIPES, "tiles"), board_of(STRIPES, "runs")
    assert "runs instead of single tiles" in tiles.warnings[0].mend
    assert "runs" not in runs.warnings[0].mend and "Deeper top and bottom borders" in runs.warnings[0].mend


def test_a_warning_speaks_in_the_shops_own_unit():
    board = board_of(STRIPES, "runs", shop=Shop(unit="in"))
    assert " in of " in board.warnings[0].words


def test_a_board_of_one_piece_has_no_seam():
    board = board_of([["beech", "beech"]], "runs", end=ZERO)
    assert board.seams == () and board.weakest is None and not board.warnings
