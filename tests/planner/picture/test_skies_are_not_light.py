"""A sky that grows lighter towards the ground is the drawing's own: light would fall on the houses too."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.support.picture_files import saved

NIGHT, DUSK = (24, 6, 31), (110, 62, 140)
WINDOW, STAR = (250, 215, 110), (250, 245, 210)
# Colour, first column, width and first row of each house.
HOUSES = (
    ((28, 24, 44), 0, 6, 13),
    ((48, 42, 60), 6, 5, 9),
    ((20, 18, 30), 11, 8, 15),
    ((38, 30, 50), 19, 7, 11),
    ((30, 26, 38), 26, 10, 16),
)


def town() -> np.ndarray:
    """20 by 36 cells: a sky in 20 bands, five houses of one colour each with lit windows, some stars."""
    cells = np.linspace(NIGHT, DUSK, 20)[:, None].repeat(36, axis=1)
    for colour, left, width, top in HOUSES:
        cells[top:, left : left + width] = colour
        cells[top + 2 : -1 : 2, left + 1 : left + width - 1 : 2] = WINDOW
    cells[[1, 2, 4, 5], [3, 20, 12, 26]] = STAR
    return np.rint(cells).astype(np.uint8)


def share_right(rgb: np.ndarray, truth: np.ndarray) -> float:
    return float((ciede2000(srgb_to_lab(rgb), srgb_to_lab(truth)) < 5).mean()) if rgb.shape == truth.shape else 0.0


@pytest.mark.parametrize("quality", [54, 85])
def test_a_night_sky_behind_houses_is_read_in_the_colours_it_was_painted_in(quality):
    image = Image.fromarray(town().repeat(13, axis=0).repeat(13, axis=1))
    reading = read_picture(saved(image, "JPEG", quality=quality, subsampling=0))
    assert share_right(reading.grid.rgb, town()) >= 0.99


def test_light_over_a_flat_sky_is_still_taken_out():
    flat = town()
    flat[(town() == np.rint(np.linspace(NIGHT, DUSK, 20))[:, None]).all(axis=2)] = (90, 60, 130)
    large = flat.repeat(10, axis=0).repeat(10, axis=1) * np.linspace(1, 0.75, 200)[:, None, None]
    noisy = large + np.random.default_rng(5).normal(0, 3, large.shape)
    read = read_picture(saved(Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8)))).grid.rgb.astype(float)
    assert read.shape == flat.shape
    sky = read[(flat == (90, 60, 130)).all(axis=2)]
    assert np.abs(sky - sky.mean(axis=0)).max() < 4
