"""Cloths and quilts show stripes that cross as a chart's lines do, and are read in their own cells all the same."""

from __future__ import annotations

import numpy as np
from PIL import Image

from planner.picture import read_picture
from planner.picture.colour import ciede2000, srgb_to_lab
from tests.support.picture_files import saved

THREADS = {"a": (56, 128, 38), "b": (71, 94, 178), "c": (79, 36, 89), "d": (161, 230, 189)}
WARP, WEFT = "abbbbbbccaaaaacdddddcccaacccc", "ccccdddbbbbbadddddccddddbbbccc"
QUILT = (
    "222222222222000000 222322022222100000 223332002222110000 233433000122111300 "
    "223332000022111100 222322000002111110 111111333333222222 011111000000333333 "
    "001111333333222222 000211000200333433 000011333333222222 000001000000333333"
)
PATCHES = np.array([(45, 38, 82), (56, 45, 86), (117, 147, 107), (126, 89, 122), (194, 245, 223)], dtype=np.uint8)


def test_a_cloth_of_one_pixel_a_cell_is_no_chart_of_a_few_cells_between_its_stripes():
    weft, warp = (np.array([THREADS[letter] for letter in threads]) for threads in (WEFT, WARP))
    cloth = ((weft[:, None] + warp[None]) // 2).astype(np.uint8)
    reading = read_picture(saved(Image.fromarray(cloth)))
    assert np.array_equal(reading.grid.rgb, cloth)


def test_a_blurred_quilt_is_read_whole_and_not_as_a_chart_of_the_part_whose_strips_look_ruled():
    cells = PATCHES[[[int(digit) for digit in row] for row in QUILT.split()]]
    blurred = Image.fromarray(cells).resize((134, 90), Image.Resampling.BILINEAR)
    grid = read_picture(saved(blurred)).grid
    assert grid.rgb.shape == cells.shape
    assert (ciede2000(srgb_to_lab(grid.rgb), srgb_to_lab(cells)) < 5).mean() >= 0.99
