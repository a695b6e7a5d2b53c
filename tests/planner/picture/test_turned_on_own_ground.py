"""A drawing on a ground of its own, printed on a page of another colour and put on the scanner a little askew.

The page tells where the drawing ends, and within it its ground is told as any other is.
"""

from __future__ import annotations

import numpy as np
from PIL import Image

from planner.picture import read_picture
from tests.support.picture_files import saved

PAGE, GROUND, LEAF, STEM, BLOOM = (236, 232, 220), (70, 110, 160), (60, 150, 80), (30, 60, 50), (230, 90, 110)


def flower() -> np.ndarray:
    """18 by 16 cells."""
    cells = np.full((18, 16, 3), GROUND, dtype=np.uint8)
    cells[8:17, 7] = STEM
    cells[[12, 11, 10, 13, 12], [5, 4, 3, 9, 10]] = LEAF
    y, x = np.mgrid[0:18, 0:16]
    cells[np.hypot(y - 5, x - 7) < 3.2] = BLOOM
    cells[4:7, 6:9] = (250, 220, 90)
    return cells


def scanned(cells: np.ndarray, degrees: float) -> Image.Image:
    large = Image.fromarray(cells.repeat(14, axis=0).repeat(14, axis=1))
    sheet = Image.new("RGB", (large.width + 78, large.height + 64), PAGE)
    sheet.paste(large, (36, 30))
    return sheet.rotate(-degrees, Image.Resampling.BICUBIC, fillcolor=PAGE)


def test_a_drawing_with_its_own_ground_is_read_surely_from_a_page_that_lay_askew():
    for degrees in (0.8, -1.4):
        reading = read_picture(saved(scanned(flower(), degrees)))
        assert reading.sure and reading.grid.filled.shape == (18, 16)
        drawn = (flower() != GROUND).any(axis=2)
        assert (reading.grid.filled == drawn).all()
        assert np.abs(reading.grid.rgb[drawn].astype(int) - flower()[drawn]).max() <= 6


def test_a_patchwork_that_wears_one_colour_on_part_of_its_edge_is_not_sure_to_lie_on_it():
    cells = flower()
    rng = np.random.default_rng(2)
    # Half the edge in patches of other colours: what is left of the ground may be the patchwork's own.
    for side in (np.s_[0, ::2], np.s_[-1, ::2], np.s_[::2, 0], np.s_[::2, -1]):
        cells[side] = rng.integers(40, 250, (len(cells[side]), 3))
    reading = read_picture(saved(scanned(cells, 0.8)))
    assert reading.grid.filled.shape == (18, 16)
    assert reading.grid.filled.all() or not reading.sure
