"""A picture enlarged by whole pixels and then once more by a filter is read in its cells, not in what the filter left.

From six pixels a cell to seven it changes only next to where cells meet, the same in every one, as what is drawn in
cells of a pixel or two does.
"""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.pictures.truths import truths
from tests.support.picture_files import saved


def sunset() -> np.ndarray:
    """20 by 36 cells in many colours: bands of sky, hills, trees and a sun."""
    cells = np.linspace((40, 20, 70), (250, 150, 90), 20)[:, None].repeat(36, axis=1)
    y, x = np.mgrid[0:20, 0:36]
    cells[np.hypot(y - 9, x - 25) < 3.4] = (255, 230, 150)
    for shade, (top, wave) in enumerate(((11, 0.31), (14, 0.47))):
        cells[y > top + 1.8 * np.sin(x * wave)] = (70 - 25 * shade, 90 - 25 * shade, 60 - 15 * shade)
    cells[13:19, [4, 9, 17, 30]] = (60, 35, 20)
    cells[12:15, [3, 5, 8, 10, 16, 18, 29, 31]] = (30, 70, 35)
    return np.rint(cells).astype(np.uint8)


@pytest.mark.parametrize(("first", "then"), [(6, 7), (5, 6), (6, 8)])
def test_cells_enlarged_by_a_little_more_by_a_filter_are_still_cells(first, then):
    truth = sunset()
    once = Image.fromarray(truth.repeat(first, axis=0).repeat(first, axis=1))
    grid = read_picture(saved(once.resize((36 * then, 20 * then), Image.Resampling.BILINEAR))).grid
    assert grid.rgb.shape == truth.shape
    assert (ciede2000(srgb_to_lab(grid.rgb), srgb_to_lab(truth)) < 5).mean() >= 0.99


@pytest.mark.parametrize("name", ["icon-cloud-moon", "icon-feather"])
@pytest.mark.parametrize(("first", "then"), [(5, 3.6), (6, 4.4)])
def test_an_icon_of_one_ink_made_smaller_again_is_offered_in_its_cells_if_it_is_not_read_so(name, first, then):
    """In so few colours it may as well be one of a pixel a cell."""
    truth = next(truth for truth in truths("dev") if truth.name == name)
    icon = np.dstack([truth.rgb, np.where(truth.clear, 0, 255).astype(np.uint8)])
    size = round(truth.columns * then), round(truth.rows * then)
    once = Image.fromarray(icon.repeat(first, axis=0).repeat(first, axis=1))
    reading = read_picture(saved(once.resize(size, Image.Resampling.BOX)))
    offered = [one.grid.filled.shape for one in (reading, *reading.others)]
    assert (truth.rows, truth.columns) in offered
    assert offered[0] == (truth.rows, truth.columns) or not reading.sure


@pytest.mark.parametrize("filtered", ["BICUBIC", "HAMMING", "BILINEAR", "LANCZOS"])
def test_an_icon_whose_ink_and_page_go_over_into_each_other_is_none_of_one_pixel_a_cell(filtered):
    """Enlarged to five pixels a cell and brought back to three, it is hardly larger than such an icon may be."""
    truth = next(truth for truth in truths("dev") if truth.name == "icon-feather")
    icon = np.where(truth.clear[..., None], 255, truth.rgb).astype(np.uint8)
    once = Image.fromarray(icon.repeat(5, axis=0).repeat(5, axis=1))
    small = once.resize((3 * truth.columns, 3 * truth.rows), Image.Resampling[filtered])
    assert read_picture(saved(small)).grid.rgb.shape == icon.shape


@pytest.mark.parametrize("clear", [True, False])
@pytest.mark.parametrize(("first", "then", "filtered"), [(3, 4.01, "BILINEAR"), (5, 3.08, "BOX"), (3, 3.4, "HAMMING")])
def test_nor_is_it_one_of_cells_of_a_pixel_or_two(first, then, filtered, clear):
    """What a filter leaves between two cells comes back with every cell, as such cells do."""
    for truth in truths("dev"):
        if truth.name in ("icon-feather", "icon-helicopter", "icon-coffee", "icon-music", "icon-ship"):
            ground = np.array((246, 254, 253, 0 if clear else 255), dtype=np.uint8)
            icon = np.where(
                truth.clear[..., None], ground, np.pad(truth.rgb, ((0, 0), (0, 0), (0, 1)), constant_values=255)
            )
            once = Image.fromarray(icon.astype(np.uint8).repeat(first, axis=0).repeat(first, axis=1))
            size = round(truth.columns * then), round(truth.rows * then)
            reading = read_picture(saved(once.resize(size, Image.Resampling[filtered])))
            assert reading.grid.rgb.shape == truth.rgb.shape


@pytest.mark.parametrize(("first", "then"), [(13, 10.7), (12, 9.4), (15, 11.2)])
def test_large_cells_made_smaller_by_a_box_have_a_pixel_of_both_between_them(first, then):
    for truth in truths("dev"):
        if truth.name in ("quilt-4", "white-shape-1", "white-shape-4"):
            cells = np.where(truth.clear[..., None], (246, 254, 253), truth.rgb).astype(np.uint8)
            once = Image.fromarray(cells.repeat(first, axis=0).repeat(first, axis=1))
            size = round(truth.columns * then), round(truth.rows * then)
            reading = read_picture(saved(once.resize(size, Image.Resampling.BOX)))
            assert reading.grid.rgb.shape == cells.shape
