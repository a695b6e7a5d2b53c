"""Two patterns laid where they agree most; what differs is counted as one would with a pencil."""

from __future__ import annotations

import re

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.difference import best_place, difference, said
from planner.drawing import WoodLook, difference_svg
from planner.pattern import Pattern
from tests.planner.mending.grids import cells_of, grid, grids


def agreeing(first, second, down: int, right: int) -> int:
    """Tiles of one wood that fall on each other, tile by tile."""
    one, two = cells_of(first), cells_of(second)
    return sum(
        wood is not None and 0 <= r + down < first.height and 0 <= c + right < first.width
        and one[r + down][c + right] == wood
        for r, row in enumerate(two)
        for c, wood in enumerate(row)
    )  # fmt: skip


@settings(max_examples=40)
@given(grids(most=5), grids(most=5))
def test_no_other_place_agrees_in_more_tiles(first, second):
    places = {
        (down, right): agreeing(first, second, down, right)
        for down in range(1 - second.height, first.height)
        for right in range(1 - second.width, first.width)
    }
    chosen = best_place(first, second)
    assert places[chosen] == max(places.values())
    if places[0, 0] == max(places.values()):
        assert chosen == (0, 0)


@settings(max_examples=40)
@given(grids(most=6), grids(most=6))
def test_a_cell_differs_when_what_lies_there_does_and_beyond_the_edge_lies_background(first, second):
    found = difference(first, second)
    one, two = cells_of(first), cells_of(second)

    def lies(cells, r, c):
        return cells[r][c] if 0 <= r < len(cells) and 0 <= c < len(cells[0]) else None

    top, left, height, width = found.frame
    assert set(found.cells) == {
        (r, c)
        for r in range(top, top + height)
        for c in range(left, left + width)
        if lies(one, r, c) != lies(two, r - found.down, c - found.right)
    }
    for change in found.woods:
        assert change.more == second.counts().get(change.wood, 0) - first.counts().get(change.wood, 0)


@given(grids(most=5), st.integers(0, 3), st.integers(0, 3), st.integers(0, 3), st.integers(0, 3))
def test_a_margin_of_background_added_is_no_tile_changed(pattern, top, right, bottom, left):
    found = difference(pattern, pattern.padded(top, right, bottom, left))
    assert found.cells == () and found.runs_before == found.runs_after


def test_a_picture_moved_in_its_grid_is_laid_on_itself_again():
    boat = grid("....... ..bbb.. .bwwwb. ..bbb.. ....... .......")
    found = difference(boat, boat.shifted(1, 1))
    assert (found.down, found.right, found.cells) == (-1, -1, ())
    assert said(found, {})[0] == (
        "They agree best with the second laid 1 row higher and 1 column to the left, and are compared so."
    )


def test_a_change_is_told_in_cells_tiles_and_runs():
    before, after = grid("bbbb bbbb bbbb"), grid("bbbb bwwb bbbb")
    assert said(difference(before, after), {"beech": "American beech", "walnut": "Black walnut"}) == (
        "2 cells differ, in 1 row of the first.",
        "Tiles: 2 fewer of American beech, 2 more of Black walnut.",
        "2 runs more to cut and lay.",
    )


def test_a_change_of_place_alone_says_that_the_tiles_are_as_many():
    words = said(difference(grid("bbw bbb"), grid("bbb bbw")), {})
    assert "As many tiles of every wood as before." in words and "As many runs to cut and lay." in words


def test_two_sizes_are_said_before_anything_else():
    assert said(difference(grid("bb bb"), grid("bbb bbb bbb")), {})[0] == "2 rows of 2 became 3 rows of 3."


def test_the_drawing_marks_every_cell_that_differs_by_its_shape_in_the_frame_of_both():
    looks = {"beech": WoodLook("Beech", (200, 160, 110), "bar"), "walnut": WoodLook("Walnut", (70, 50, 40), "post")}
    found = difference(grid("bbb bbb"), grid("bbb bwb bwb"))
    svg = difference_svg(found, looks, after=True, title="After")
    assert 'viewBox="0 0 30 30"' in svg and 'aria-label="After"' in svg
    marks = re.findall(r'<path d="([^"]+)" fill="none" stroke="#', svg)
    assert [path.count("M") for path in marks] == [len(found.cells)] * 2 == [4, 4]
    # Before, the pattern ends a row earlier; its edge says so.
    assert "h30v20h-30z" in difference_svg(found, looks, after=False)


def test_a_pattern_of_the_largest_size_moved_a_little_is_found_again():
    rows = [[("beech", "walnut", None)[(r * r + 3 * c + r * c) % 3] for c in range(200)] for r in range(200)]
    pattern = Pattern.of(rows)
    found = difference(pattern, pattern.shifted(2, 1))
    assert (found.down, found.right) == (-2, -1)
