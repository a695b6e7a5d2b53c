"""A drawing on nothing that was enlarged smoothly goes over into what is clear by degrees: it is not one of a pixel a
cell, however few its colours."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from tests.support.picture_files import saved

ARROW = """
..##....
..##....
..##....
..##....
########
.######.
..####..
...##...
"""


def cells(drawing: str) -> np.ndarray:
    return np.array([[mark == "#" for mark in row] for row in drawing.split()])


def drawn(filled: np.ndarray, smoothed_to: tuple[int, int], times: int = 6) -> Image.Image:
    rgba = np.zeros((*filled.shape, 4), dtype=np.uint8)
    rgba[filled] = (40, 60, 90, 255)
    large = Image.fromarray(rgba.repeat(times, axis=0).repeat(times, axis=1))
    return large.resize(smoothed_to, Image.Resampling.LANCZOS)


@pytest.mark.parametrize(("times", "side"), [(5, 29), (6, 35), (6, 51)])
def test_its_cells_are_read_and_what_is_clear_is_background(times, side):
    filled = cells(ARROW)
    reading = read_picture(saved(drawn(filled, (side, side), times), "PNG"))
    assert (reading.grid.filled == filled).all()


def test_where_no_cells_are_found_it_is_not_surely_one_of_a_pixel_a_cell():
    reading = read_picture(saved(drawn(cells(ARROW), (21, 21)), "PNG"))
    assert reading.pitch == 1 and not reading.sure


def test_glass_drawn_half_clear_is_one_of_a_pixel_a_cell():
    random = np.random.default_rng(5)
    rgba = np.zeros((24, 24, 4), dtype=np.uint8)
    rgba[4:20, 4:20] = np.array([(200, 40, 40, 255), (40, 90, 200, 255), (240, 220, 90, 140), (90, 160, 80, 200)])[
        random.integers(0, 4, (16, 16))
    ]
    reading = read_picture(saved(Image.fromarray(rgba), "PNG"))
    assert reading.grid.rgb.shape[:2] == (24, 24) and reading.pitch == 1
