"""Cells that show two colours in their middle are too large: finer ones are read, or the reading is not sure."""

from __future__ import annotations

import numpy as np
from PIL import Image

from planner.picture import read_picture
from planner.picture.cells import read_cells
from planner.picture.exact_cells import Axis
from planner.picture.redraw import HARD
from tests.support.picture_files import saved, speckled


def in_strokes_of_two() -> np.ndarray:
    """Twelve by twelve blocks of two cells, and some single cells that keep out of step."""
    cells = speckled(12, 12).repeat(2, axis=0).repeat(2, axis=1)
    for row, column in ((3, 4), (6, 15), (11, 8), (14, 21), (19, 2), (20, 13)):
        cells[row, column] = 255 - cells[row, column]
    return cells


def test_a_cell_of_two_colours_is_told_from_one_with_a_soft_edge():
    picture = in_strokes_of_two().repeat(10, axis=0).repeat(10, axis=1).astype(np.float32)
    blocks, cells = Axis(0.0, 20.0, 12), Axis(0.0, 10.0, 24)
    assert read_cells(picture, blocks, blocks, HARD[1]).split == 6
    assert read_cells(picture, cells, cells, HARD[1]).split == 0


def test_a_noisy_drawing_mostly_in_strokes_of_two_is_read_at_its_single_cells_or_is_not_sure():
    picture = in_strokes_of_two().repeat(12, axis=0).repeat(12, axis=1)
    noisy = (picture + np.random.default_rng(3).normal(0, 3, picture.shape)).clip(0, 255).astype(np.uint8)
    reading = read_picture(saved(Image.fromarray(noisy)))
    assert reading.grid.rows == 24 or not reading.sure


def test_a_margin_of_whole_cells_around_a_smoothly_enlarged_picture_stays_background():
    cells = np.full((18, 18, 3), (30, 110, 70), dtype=np.uint8)
    cells[1:-1, 1:-1] = speckled(16, 16)
    large = Image.fromarray(cells).resize((113, 113), Image.Resampling.BILINEAR)
    reading = read_picture(saved(large))
    assert reading.grid.filled.shape == (18, 18)
    assert reading.grid.filled[1:-1, 1:-1].all() and reading.grid.filled.sum() == 16 * 16


def test_a_picture_turned_by_four_degrees_is_read_too():
    cells = speckled(14, 17)
    large = Image.fromarray(cells.repeat(12, axis=0).repeat(12, axis=1))
    reading = read_picture(saved(large.rotate(-4.2, Image.Resampling.BICUBIC, expand=True, fillcolor=(255, 255, 255))))
    assert reading.grid.rgb.shape == cells.shape
    assert abs(reading.turn - 4.2) < 0.2
