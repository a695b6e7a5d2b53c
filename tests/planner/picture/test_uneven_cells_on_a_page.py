"""Cells of any pitch from two pixels on a page of its own width on each side are read to the last cell."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from tests.support.picture_files import saved

PAGE = (244, 236, 217)
COLOURS = np.array([(38, 33, 110), (150, 101, 57), (214, 17, 64), (20, 134, 96)], dtype=np.uint8)


def on_page(cells: np.ndarray, pitch: float, middle: float, margins: tuple[int, int, int, int]) -> bytes:
    """Each pixel shows the cell at its place over the pitch; then so many pixels of page: top, right, bottom, left."""
    places = [((np.arange(round(n * pitch)) + middle) / pitch).astype(int).clip(0, n - 1) for n in cells.shape[:2]]
    large = cells[np.ix_(*places)]
    top, right, bottom, left = margins
    page = np.empty((len(large) + top + bottom, large.shape[1] + left + right, 3), dtype=np.uint8)
    page[:] = PAGE
    page[top : top + len(large), left : left + large.shape[1]] = large
    return saved(Image.fromarray(page))


def figure(rows: int, columns: int, seed: int) -> np.ndarray:
    """Cells filled to the edges, but for one corner that shows the page."""
    cells = COLOURS[np.random.default_rng(seed).integers(0, len(COLOURS), (rows, columns))]
    cells[0, 0] = PAGE
    return cells


@pytest.mark.parametrize("middle", [0.0, 0.5, 0.999])
@pytest.mark.parametrize("margins", [(7, 4, 3, 5), (1, 11, 6, 2), (5, 3, 0, 4)])
@pytest.mark.parametrize("pitch", [2, 2.36, 2.71, 3.62, 5.45, 9])
def test_a_drawing_on_a_page_is_read_cell_for_cell_and_for_sure(pitch, margins, middle):
    cells = figure(19, 24, seed=round(10 * pitch))
    reading = read_picture(on_page(cells, pitch, middle, margins))
    filled = reading.grid.filled
    box = np.ix_(filled.any(axis=1), filled.any(axis=0))
    assert (reading.sure, reading.cut, filled[box].shape) == (True, False, cells.shape[:2])
    assert filled.sum() == cells.shape[0] * cells.shape[1] - 1
    assert (reading.grid.rgb[box] == cells).all()


def test_of_a_small_drawing_in_strokes_of_two_on_a_page_of_odd_width_both_sizes_are_offered():
    # Nothing but its few edges, all in step, tells it from one drawn in strokes of two.
    cells = np.where(np.indices((8, 8)).sum(axis=0)[..., None] % 3 == 0, COLOURS[0], PAGE).astype(np.uint8)
    reading = read_picture(on_page(cells, 2, 0.5, (3, 3, 3, 3)))
    assert not reading.sure
    assert (8, 8) in [one.grid.filled.shape for one in (reading, *reading.others)]


def test_a_picture_of_one_pixel_a_cell_on_a_page_stays_one():
    rng = np.random.default_rng(8)
    for _ in range(20):
        cells = COLOURS[rng.integers(0, len(COLOURS), tuple(rng.integers(9, 40, 2)))]
        reading = read_picture(on_page(cells, 1, 0.5, tuple(rng.integers(1, 9, 4))))
        assert (reading.kind, reading.sure) == ("native", True)


def test_few_cells_of_a_small_pitch_are_never_read_for_sure_in_colours_that_the_picture_has_not():
    """So few edges tell no pitch; a blurred grid through them would be of mixed colours."""
    for seed in range(60):
        rng = np.random.default_rng(seed)
        half = COLOURS[rng.integers(0, len(COLOURS), (rng.integers(6, 10), 3))]
        cells = np.concatenate([half, half[:, ::-1]], axis=1)
        data = on_page(cells, rng.uniform(2.6, 3.9), 0.5, tuple(rng.integers(3, 12, 4)))
        reading = read_picture(data)
        worn = {tuple(colour) for colour in reading.grid.rgb[reading.grid.filled].tolist()}
        if reading.sure:
            assert worn <= {tuple(colour) for colour in [*COLOURS.tolist(), PAGE]}


def test_a_drawing_whose_last_cell_was_cut_to_whole_pixels_keeps_its_pitch_on_a_page():
    # 14 cells of 15.42 pixels, cut from 215.9 to 215: the middle of the pitches that the rows alone allow misses it.
    cells = np.empty((14, 31, 3), dtype=np.uint8)
    cells[:] = PAGE
    cells[:, ::2] = COLOURS[0]
    cells[1::2] = COLOURS[1]
    cells[0, 3:9] = cells[6:9, 20:24] = PAGE
    places = [(np.arange(int(n * 15.42)) / 15.42 + 1e-9).astype(int) for n in cells.shape[:2]]
    large = np.pad(cells[np.ix_(*places)], ((39, 9), (20, 9), (0, 0)))
    large[:39] = large[-9:] = large[:, :20] = large[:, -9:] = PAGE
    reading = read_picture(saved(Image.fromarray(large)))
    filled = reading.grid.filled
    assert filled[np.ix_(filled.any(axis=1), filled.any(axis=0))].shape == (14, 31)
    assert reading.lattice.pitch == pytest.approx(15.42, abs=0.03)


def test_an_outline_on_a_page_of_the_colour_it_encloses_may_be_the_drawings_own():
    cells = np.empty((12, 12, 3), dtype=np.uint8)
    cells[:] = COLOURS[0]
    cells[2:-2, 2:-2] = PAGE
    cells[4:6, 3:8] = cells[7, 5:9] = COLOURS[0]
    assert not read_picture(on_page(cells, 12.5, 0.5, (35, 20, 7, 16))).sure
