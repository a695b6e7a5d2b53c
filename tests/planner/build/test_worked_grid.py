"""A small grid built three ways gives the pieces, cuts, stops, joints and seams worked out by hand."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from planner.measures import Length
from planner.pattern import Pattern
from tests.planner.build.test_joints_and_seams import board_of

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-builds.json").read_text())
GRID = Pattern.of([[f"wood-{number}" for number in row] for row in WORKED["grid"]])
ROWS, COLUMNS = WORKED["along_the_rows"], WORKED["along_the_columns"]


@pytest.mark.parametrize(
    ("pattern", "method", "worked"),
    [(GRID, "tiles", ROWS["tiles"]), (GRID, "runs", ROWS["runs"]), (GRID.turned(), "runs", COLUMNS["runs"])],
    ids=["tiles", "runs along the rows", "runs along the columns"],
)
def test_counts_are_those_worked_by_hand(pattern, method, worked):
    counts, copies = board_of(pattern, method).counts, WORKED["copies"]
    assert counts.pieces * copies == worked["pieces"]
    assert counts.crosscuts * copies == worked["crosscuts"]
    assert counts.rows_glued * copies == worked["row_glueups"]
    assert counts.joints_in_rows * copies == worked["small_joints"]
    assert counts.row_joints * copies == worked["row_joints"]
    assert counts.stop_settings == worked["stops"]  # a stop is set once for all copies
    assert counts.border_strips == 0


@pytest.mark.parametrize(
    ("pattern", "worked"), [(GRID, ROWS["runs"]), (GRID.turned(), COLUMNS["runs"])], ids=["rows", "columns"]
)
def test_end_grain_to_glue_is_that_worked_by_hand(pattern, worked):
    board = board_of(pattern, "runs")
    pitch, thick = WORKED["pitch_mm"], WORKED["thickness_mm"] + board.shop.flattening.mm
    along = (pattern.height - 1) * pattern.width * pitch * thick
    end_grain = (board.joints.glue_area_mm2 - along) * WORKED["copies"]
    assert end_grain == worked["end_joint_area_per_thickness_mm"] * thick


def test_each_seam_is_crossed_by_as_many_rows_as_worked_by_hand():
    board = board_of(GRID, "runs")
    crossing = WORKED["rows_of_runs_that_cross_each_seam"]
    assert [seam.column for seam in board.seams] == [1, 2, 3, 4]
    assert [seam.carried for seam in board.seams] == [Length.of_mm(20 * rows) for rows in crossing]
    assert [seam.share for seam in board.seams] == [Fraction(rows, 4) for rows in crossing]
