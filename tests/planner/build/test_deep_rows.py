"""Equal neighbouring rows made as one: fewer pieces and joints, the same picture, and seams carried just as far."""

from __future__ import annotations

from itertools import groupby

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.build import ALONG, BoardSpec, BuildError, build
from planner.cutting import CuttingError, lumber_need, widest_strips
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import StockSize
from tests.planner.build.test_joints_and_seams import BARE, board_of
from tests.planner.build.test_parts_fill_the_blank import SHOP, patterns

mm = Length.of_mm
FIVE = Pattern.of([["beech", "beech", "sapele"]] * 5)


@st.composite
def tall(draw):
    """Pictures whose rows come several times over, as those of a scaled picture do."""
    small = draw(patterns(5))
    cells = [[small.cell(r, c) for c in range(small.width)] for r in range(small.height)]
    return Pattern.of([row for row in cells for _ in range(draw(st.integers(1, 4)))])


def laid_woods(pattern):
    return [[pattern.cell(r, c) or "sycamore" for c in range(pattern.width)] for r in range(pattern.height)]


def spec_of(side=0, end=0, along="rows", method="deep"):
    return BoardSpec("wall", mm(20), mm(18), mm(side), mm(end), method, 1, "sycamore", along)


@given(tall(), st.sampled_from([0, 30]), st.sampled_from([0, 25]), st.sampled_from(ALONG))
@settings(max_examples=100, deadline=None)
def test_rows_joints_and_seams_are_those_of_a_walk_over_the_rows(pattern, side, end, along):
    try:
        deep = build(pattern, spec_of(side, end, along), "deep", SHOP)
    except BuildError:
        assume(False)
    runs = build(pattern, spec_of(side, end, along), "runs", SHOP)
    alike = [len(list(same)) for _, same in groupby(laid_woods(deep.pattern))]
    assert [row.deep for row in deep.rows] == alike
    assert [row.first for row in deep.rows] == [1 + sum(alike[:n]) for n in range(len(alike))]
    # What carries a seam is counted in rows of the picture; what there is to glue, in rows as they are laid.
    assert (deep.seams, deep.weakest, deep.warnings) == (runs.seams, runs.weakest, runs.warnings)
    of_runs = [runs.rows[row.first - 1] for row in deep.rows]
    assert deep.counts.joints_in_rows == sum(len(row.parts) - 1 for row in of_runs)
    assert deep.counts.row_joints == len(alike) - 1
    assert deep.counts.pieces == sum(len(row.parts) for row in of_runs) + deep.counts.border_strips
    # Across the grain nothing is glued but whole rows: end grain is the same to a glue line, long grain is less.
    assert deep.joints.glue_area_mm2 <= runs.joints.glue_area_mm2


@given(tall(), st.integers(25, 90), st.sampled_from([0, 25]))
@settings(max_examples=100, deadline=None)
def test_no_row_is_ripped_wider_than_its_woods_give_and_none_more_are_made_than_that_asks(pattern, width, end):
    widest = {wood: mm(width) for wood in (*pattern.woods, "sycamore")}
    try:
        board = build(pattern, spec_of(end=end), "deep", SHOP, widest)
    except BuildError:
        assume(False)
    rows = iter(board.rows)
    for _, same in groupby(laid_woods(pattern)):
        left, made = len(list(same)), []
        while left:
            made.append(next(rows))
            left -= made[-1].deep
        assert left == 0 and max(row.deep for row in made) - min(row.deep for row in made) <= 1
        ripped = [board.parts[row.parts[0]].stage("ripped").width for row in made]
        single = build(pattern, spec_of(end=end), "runs", SHOP)
        one = max(single.parts[single.rows[row.first - 1].parts[0]].stage("ripped").width for row in made)
        assert max(ripped) <= mm(width) or (one > mm(width) and all(row.deep == 1 for row in made))


def test_five_equal_rows_of_20_are_one_of_100_or_as_few_as_the_stock_is_wide_for():
    def depths(**widest):
        board = build(FIVE, spec_of(end=30), "deep", BARE, {wood: mm(size) for wood, size in widest.items()})
        return [row.deep for row in board.rows]

    # Ripped 0.5 wider than gauged: 100.5, 60.5 and 40.5.
    assert depths(beech=101, sapele=101) == [5]
    assert depths(beech=101, sapele=100) == [3, 2]
    assert depths(beech=60, sapele=300) == [2, 2, 1]
    assert depths(beech=20, sapele=20) == [1] * 5


def test_a_deep_run_is_cut_from_a_strip_as_wide_as_its_rows_less_a_glue_line():
    board = build(FIVE, spec_of(end=30), "deep", SHOP)
    run, tile = board.parts[:2]
    assert (run.kind, run.tiles, run.deep, run.count) == ("end run", 2, 5, 1)
    assert (tile.kind, tile.tiles, tile.deep) == ("end tile", 1, 5)
    # Five of 20 less half a glue line at either edge; two edges to dress; half a millimetre to gauge.
    assert [run.stage(name).width for name in ("dressed", "gauged", "ripped")] == [mm("99.9"), mm("100.3"), mm("100.8")]


def test_a_single_row_too_wide_for_the_stock_is_refused_in_words():
    stock = dict.fromkeys(("beech", "sapele", "sycamore"), StockSize(mm(30), mm(25)))
    board = build(FIVE, spec_of(), "deep", SHOP, widest_strips(stock, SHOP))
    with pytest.raises(CuttingError, match="does not come out of American beech 25 mm wide") as refusal:
        lumber_need(board, SHOP, stock)
    assert refusal.value.field == "pitch"


def test_rows_of_plain_wood_from_side_to_side_are_one_piece_however_deep():
    cells = [[None] * 3] * 3 + [[None, "beech", None]]
    board = board_of(cells, "deep", mm(30), mm(25))
    assert [row.deep for row in board.rows] == [3, 1]
    (through,) = (board.parts[n] for n in board.rows[0].parts)
    assert (through.kind, through.deep, through.place_width, through.count) == ("through row", 3, mm(60), 1)


def test_a_picture_whose_rows_all_differ_is_built_as_its_runs():
    cells = [["beech", "sapele"], ["sapele", "beech"]]
    assert board_of(cells, "deep").parts == board_of(cells, "runs").parts
    assert board_of(cells, "deep", ZERO, mm(20)).counts == board_of(cells, "runs", ZERO, mm(20)).counts
