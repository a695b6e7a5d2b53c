"""Rows that stand upright: everything turns, and the board hangs as the picture does."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.build import BoardSpec, BuildError, along_of, build
from planner.measures import Length
from planner.pattern import Pattern
from planner.record import hanging_size
from tests.planner.build.test_joints_and_seams import BARE
from tests.planner.build.test_parts_fill_the_blank import BY_ROWS, SHOP, patterns
from tests.planner.build.test_woods_in_place import BORDER, EDGE_TRIM, END_TRIM, painted
from tests.planner.build.test_woods_in_place import SHOP as TRIMMED
from tests.planner.cutting.fromshop.making import record

mm = Length.of_mm
STRIPES = Pattern.of([["beech"] * 4, ["sapele"] * 4])


def spec_of(method="runs", side=0, end=0, along="columns", pitch=20):
    return BoardSpec("wall", mm(pitch), mm(18), mm(side), mm(end), method, 1, BORDER, along)


@given(patterns(), st.sampled_from(BY_ROWS), st.sampled_from([0, 8]), st.sampled_from([0, 6]))
@settings(max_examples=100, deadline=None)
def test_it_is_the_board_of_the_turned_picture_part_for_part(pattern, method, side, end):
    spec = spec_of(method, side, end)
    try:
        upright = build(pattern, spec, method, SHOP)
    except BuildError:
        with pytest.raises(BuildError):
            build(pattern.turned(), replace(spec, along="rows"), method, SHOP)
        return
    turned = build(pattern.turned(), replace(spec, along="rows"), method, SHOP)
    assert upright.picture == pattern
    for name in ("pattern", "parts", "rows", "top_border", "bottom_border", "joints", "seams", "weakest", "counts"):
        assert getattr(upright, name) == getattr(turned, name)


@given(
    patterns(), st.sampled_from(BY_ROWS), st.integers(4, 6), st.sampled_from([0, 7]), st.sampled_from([0, 5]),
    st.sampled_from(["rows", "columns"]),
)  # fmt: skip
@settings(max_examples=150, deadline=None)
def test_whichever_way_its_rows_run_the_finished_board_hangs_as_the_picture_within_its_borders(
    pattern, method, pitch, sides, ends, along
):
    """``sides`` and ``ends`` are the borders as the board hangs; painted piece by piece, trimmed and turned back."""
    spec = spec_of(method, sides, ends, "rows", pitch)
    spec = spec if along == "rows" else spec.turned()
    try:
        board = build(pattern, spec, method, TRIMMED)
    except BuildError as refusal:
        assert refusal.field in ("side_border", "")
        assume(False)
    bench = painted(board)[EDGE_TRIM:-EDGE_TRIM, END_TRIM:-END_TRIM]
    # The bench's left is the picture's bottom, its top the picture's left.
    hung = np.rot90(bench) if along == "columns" else bench
    wanted = np.full((pattern.height * pitch + 2 * ends, pattern.width * pitch + 2 * sides), BORDER, dtype="<U20")
    for r in range(pattern.height):
        for c in range(pattern.width):
            top, left = ends + r * pitch, sides + c * pitch
            wanted[top : top + pitch, left : left + pitch] = pattern.cell(r, c) or BORDER
    assert hung.shape == wanted.shape and (hung == wanted).all()


def test_stripes_from_side_to_side_have_no_seam_upright_rows_of_them_have_one_nothing_carries():
    assert build(STRIPES, spec_of(along="rows"), "runs", BARE).weakest is None
    upright = build(STRIPES, spec_of(), "runs", BARE)
    assert (upright.counts.pieces, upright.weakest.carried, upright.weakest.of) == (8, mm(0), mm(80))
    (warning,) = upright.warnings
    assert "between tiles 1 and 2 from the bottom" in warning.words and "0 mm of 80 mm" in warning.words
    assert "Wider left and right borders" in warning.mend and "no handle at the top or bottom" in warning.mend


def test_rows_begin_at_the_bottom_and_row_1_hangs_at_the_left():
    board = build(Pattern.of([["beech", "sapele"], ["walnut-black", "oak-red"]]), spec_of("tiles"), "tiles", BARE)
    laid = [[board.parts[n].wood for n in row.parts] for row in board.rows]
    assert laid == [["walnut-black", "beech"], ["oak-red", "sapele"]]


@pytest.mark.parametrize(
    ("cells", "where"),
    [
        ([["beech"], [None]], "at its top,"),
        ([[None], ["beech"]], "at its bottom,"),
        ([["beech"]], "at its bottom and top,"),
    ],
)
def test_a_border_in_the_rows_asks_for_background_at_top_and_bottom(cells, where):
    with pytest.raises(BuildError, match=f"no background {where} so a border there") as refusal:
        build(Pattern.of(cells), spec_of(side=30), "runs", SHOP)
    assert refusal.value.field == "side_border" and "top and bottom borders 0" in refusal.value.mend


def test_rows_run_one_of_two_ways():
    with pytest.raises(BuildError, match="do not run along “slant”") as refusal:
        build(STRIPES, spec_of(along="slant"), "runs", SHOP)
    assert refusal.value.field == "along"


def test_turned_twice_it_is_the_spec_it_was():
    spec = spec_of(side=30, end=20)
    assert spec.turned() != spec == spec.turned().turned()


def test_a_record_tells_the_picture_as_it_hangs_and_an_old_one_runs_from_side_to_side():
    rows = ["-s-", "-b-", "sbs", "-b-"]
    kept = record(rows, end=10, side=20, border="walnut-black", along="columns")
    assert kept["pattern"].splitlines()[2] == "1 sapele, 1 beech, 1 sapele"
    assert (kept["rows"], kept["columns"], along_of(kept)) == (3, 4, "columns")
    # Three tiles of 20 and twice 10 wide, four and twice 20 high.
    assert hanging_size(kept) == (mm(80), mm(120))
    old = record(rows, end=10, side=20, border="walnut-black")
    del old["spec"]["along"]
    assert along_of(old) == "rows" and hanging_size(old) == (mm(100), mm(100))
    assert Fraction(old["finished"][1]) == 4 * 20 + 2 * 10
