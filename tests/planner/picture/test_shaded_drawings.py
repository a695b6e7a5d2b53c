"""A drawing that shades its own colours keeps them: only what a lamp does to all cells alike is taken out."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.charts.cleaning import cleaned
from planner.picture.charts.light import light_over
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.pictures.charting import drawn_chart
from tests.support.picture_files import saved


def shaded(rows: int, columns: int, seed: int) -> np.ndarray:
    """A sky that runs from one colour to another and balls that darken outwards, every cell a little off."""
    rng = np.random.default_rng(seed)
    y, x = np.mgrid[:rows, :columns] / rows
    cells = np.array([198.0, 58, 48]) + (np.array([48.0, 92, 160]) - [198.0, 58, 48]) * y[..., None]
    for _ in range(4):
        away = np.hypot(y - rng.uniform(0, 1), x - rng.uniform(0, 1)) / rng.uniform(0.1, 0.3)
        cells[away < 1] = (rng.integers(60, 230, 3) * (1.15 - 0.6 * away)[..., None])[away < 1]
    return (cells + rng.normal(0, 6, cells.shape)).clip(0, 255).astype(np.uint8)


def wrong(reading, cells: np.ndarray) -> float:
    assert reading.grid.rgb.shape == cells.shape
    off = ciede2000(srgb_to_lab(reading.grid.rgb), srgb_to_lab(cells)) > 5
    return float((off | ~reading.grid.filled).mean())


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_in_a_chart_of_a_shaded_drawing_every_cell_has_its_own_colour(seed):
    cells = shaded(22, 26, seed)
    pixels, _, _ = drawn_chart(cells, (255, 255, 255), 20, np.random.default_rng(seed))
    assert wrong(read_picture(saved(Image.fromarray(pixels))), cells) <= 0.01


def test_a_shaded_drawing_enlarged_smoothly_keeps_its_colours():
    cells = shaded(20, 24, 4)
    large = Image.fromarray(cells).resize((240, 200), Image.Resampling.BILINEAR)
    assert wrong(read_picture(saved(large)), cells) <= 0.01


def test_light_that_leaves_the_cells_as_uneven_as_a_drawing_shades_them_is_none():
    cells = shaded(22, 26, 5).astype(np.float64)
    assert light_over(cells) is None
    assert (cleaned(cells) == cells).all()
    flat = np.full((22, 26, 3), 180.0) * np.linspace(0.9, 1.1, 26)[None, :, None]
    assert light_over(flat) is not None
