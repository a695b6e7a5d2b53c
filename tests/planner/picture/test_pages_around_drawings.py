"""A drawing on a page larger than its grid: what wears the page's colour at its edge is page, and nothing else is."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from planner.picture import read_picture
from tests.support.picture_files import saved

PAGE, HAIR, SKIN, EYE, COAT = (60, 20, 70), (95, 48, 20), (190, 146, 100), (240, 240, 240), (250, 200, 40)
# Hair along more than half of the drawing's edge; the page shows beside the neck.
BUST = np.array(
    [
        [HAIR] * 9,
        [HAIR, HAIR, SKIN, SKIN, SKIN, SKIN, SKIN, HAIR, HAIR],
        [HAIR, SKIN, EYE, SKIN, SKIN, SKIN, EYE, SKIN, HAIR],
        [HAIR, SKIN, SKIN, SKIN, SKIN, SKIN, SKIN, SKIN, HAIR],
        [HAIR, HAIR, SKIN, SKIN, SKIN, SKIN, SKIN, HAIR, HAIR],
        [PAGE, PAGE, PAGE, SKIN, SKIN, SKIN, PAGE, PAGE, PAGE],
        [PAGE, COAT, COAT, COAT, SKIN, COAT, COAT, COAT, PAGE],
        [COAT] * 9,
    ],
    dtype=np.uint8,
)


def on_page(cells: np.ndarray, size: int, margins: tuple[int, int, int, int]) -> bytes:
    left, top, right, bottom = margins
    big = cells.repeat(size, axis=0).repeat(size, axis=1)
    page = np.full((big.shape[0] + top + bottom, big.shape[1] + left + right, 3), PAGE, dtype=np.uint8)
    page[top : top + big.shape[0], left : left + big.shape[1]] = big
    return saved(Image.fromarray(page))


def test_hair_along_the_edge_of_a_bust_is_no_background_on_a_page_of_another_colour():
    grid = read_picture(on_page(BUST, 24, (78, 34, 7, 95))).grid
    rows, columns = np.flatnonzero(grid.filled.any(axis=1)), np.flatnonzero(grid.filled.any(axis=0))
    drawn = slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)
    assert (grid.rgb[drawn] == BUST).all()
    assert (grid.filled[drawn] == (BUST != PAGE).any(axis=2)).all()


def test_a_margin_that_is_whole_cells_across_and_not_down_makes_no_oblong_cells():
    # 13 cells of 20 pixels across; 13.4 down, which 13 cells of 20.6 fill as well.
    page = Image.open(io.BytesIO(on_page(BUST, 20, (40, 66, 40, 42))))
    reading = read_picture(saved(page, "JPEG", quality=85))
    grid, corners = reading.grid, reading.lattice.corners
    assert reading.sure and abs(corners[0][1] % 20 - 6) < 1.5
    rows, columns = np.flatnonzero(grid.filled.any(axis=1)), np.flatnonzero(grid.filled.any(axis=0))
    drawn = grid.rgb[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    assert drawn.shape == BUST.shape
    assert np.abs(drawn.astype(int) - BUST).max(axis=2)[(BUST != PAGE).any(axis=2)].max() <= 6
