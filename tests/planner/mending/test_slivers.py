"""Pieces one tile long between longer runs, upright lines one tile wide, and rows that end in a single tile."""

from __future__ import annotations

from itertools import groupby

from hypothesis import given

from planner.mending import hints_of
from tests.planner.mending.grids import cells_of, grid, grids, mended
from tests.planner.mending.test_single_tiles import by_looking


def slivers(pattern):
    return [hint for hint in hints_of(pattern) if hint.kind == "sliver"]


def by_hand(pattern) -> set[tuple[int, int]]:
    """Runs of one between two of at least two, and rows of wood that begin or end in one; single tiles left out."""
    found = set()
    for r, row in enumerate(cells_of(pattern)):
        runs, start = [], 0
        for wood, members in groupby(row):
            length = len(list(members))
            runs.append((start, length, wood))
            start += length
        for i, (at, length, wood) in enumerate(runs):
            beside = [runs[k][1] for k in (i - 1, i + 1) if 0 <= k < len(runs)]
            ends = i in (0, len(runs) - 1)
            if length == 1 and beside and min(beside) > 1 and (not ends or wood is not None):
                found.add((r, at))
    return found - by_looking(pattern)


@given(grids())
def test_every_sliver_is_pointed_out_once_and_nothing_else(pattern):
    told = [cell for hint in slivers(pattern) for cell in hint.cells]
    assert len(told) == len(set(told))
    assert set(told) == (by_hand(pattern) if pattern.width >= 3 else set())


def test_a_short_piece_of_two_rows_is_laid_as_the_longer_run_beside_it():
    pattern = grid("bbbwss bbbwss bbbbss")
    (hint,) = slivers(pattern)
    assert hint.cells == ((0, 3), (1, 3))
    assert "2 pieces of walnut one tile long between longer runs, rows 1 and 2" in hint.words
    assert mended(pattern, hint) == grid("bbbbss bbbbss bbbbss")


def test_an_upright_line_stays_and_is_made_two_wide_to_one_side_all_along():
    pattern = grid("bbwbbb bbwbbb bbwbbb bbwbbb bbbbbb")
    (hint,) = slivers(pattern)
    assert hint.words.startswith("Walnut stands upright one tile wide, column 3: 4 pieces one tile long")
    assert mended(pattern, hint) == grid("bbwwbb bbwwbb bbwwbb bbwwbb bbbbbb")


def test_a_gap_of_one_tile_that_widens_above_and_below_is_a_short_piece_and_no_upright_line():
    feet = grid(".w.w.. .w.w.. ww.ww. ...... ......")
    (hint,) = slivers(feet)
    assert hint.cells == ((2, 2),) and hint.words.startswith("One piece of background one tile long")


def test_rows_that_end_in_one_tile_of_wood_go_on_to_the_edge():
    pattern = grid("wbbb wbbb bbbb")
    (hint,) = slivers(pattern)
    assert hint.words.startswith("Rows 1 and 2 end in a single tile of walnut")
    assert mended(pattern, hint) == grid("bbbb bbbb bbbb")


def test_background_at_the_end_of_a_row_is_one_piece_with_its_side_border():
    assert slivers(grid(".bb. .bb. .bb.")) == []


def test_a_line_one_tile_tall_is_long_grain_and_left_alone():
    assert slivers(grid("bbbbbb wwwwww bbbbbb")) == []
