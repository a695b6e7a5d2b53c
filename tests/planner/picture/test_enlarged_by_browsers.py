"""Browsers asked for quality enlarge by a cubic that runs through none of the colours it is given.

Its weights are those of D. Mitchell and A. Netravali, "Reconstruction filters in computer graphics", Computer Graphics
22 (1988) 221-228, equation 8 with B = C = 1/3.
"""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.support.picture_files import saved

B = C = 1 / 3


def weight(x: np.ndarray) -> np.ndarray:
    x = np.abs(x)
    near = (12 - 9 * B - 6 * C) * x**3 + (-18 + 12 * B + 6 * C) * x**2 + 6 - 2 * B
    far = (-B - 6 * C) * x**3 + (6 * B + 30 * C) * x**2 + (-12 * B - 48 * C) * x + 8 * B + 24 * C
    return np.where(x < 1, near, np.where(x < 2, far, 0)) / 6


def matrix(cells: int, side: int) -> np.ndarray:
    """Cells at the ends go on past them, as browsers have it."""
    middles = (np.arange(side) + 0.5) * cells / side - 0.5
    out = np.zeros((side, cells))
    for step in range(-1, 3):
        at = np.floor(middles).astype(int) + step
        np.add.at(out, (np.arange(side), np.clip(at, 0, cells - 1)), weight(middles - at))
    return out


def enlarged(cells: np.ndarray, pitch: float) -> Image.Image:
    rows, columns = cells.shape[:2]
    down, across = matrix(rows, round(rows * pitch)), matrix(columns, round(columns * pitch))
    drawn = np.einsum("yr,rck,xc->yxk", down, cells.astype(float), across)
    return Image.fromarray(np.clip(np.rint(drawn), 0, 255).astype(np.uint8))


def off(rgb: np.ndarray, truth: np.ndarray) -> np.ndarray:
    assert rgb.shape == truth.shape
    return np.asarray(ciede2000(srgb_to_lab(rgb), srgb_to_lab(truth)))


@pytest.mark.parametrize("pitch", [7, 12.4])
def test_what_a_browser_smoothed_comes_back_in_its_own_colours(pitch):
    rng = np.random.default_rng(4)
    palette = rng.integers(30, 226, (6, 3))
    truth = palette[rng.integers(0, 6, (16, 15))].astype(np.uint8)
    assert (off(read_picture(saved(enlarged(truth, pitch))).grid.rgb, truth) < 5).mean() >= 0.99


def test_where_black_and_white_cut_it_off_it_is_still_told_from_a_filter_like_it():
    truth = np.full((18, 18, 3), 255, dtype=np.uint8)
    ring = np.hypot(*np.mgrid[-8.5:8.6, -8.5:8.6])
    truth[(ring < 8) & (ring > 6)] = 0
    truth[(ring < 4) & (ring > 2.5)] = (110, 160, 130)
    reading = read_picture(saved(enlarged(truth, 14)))
    assert (off(reading.grid.rgb, truth)[reading.grid.filled] < 5).all()
    assert (truth[~reading.grid.filled] == 255).all()
