"""In a JPEG of little quality cells of a few pixels have their own colours all the same."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.cells import read_cells
from planner.picture.decode import decode
from planner.picture.exact_cells import Axis
from planner.picture.filed import can_be_kept, with_own_colours
from planner.picture.redraw import HARD
from tests.planner.picture.test_colour_shares import off, patchwork
from tests.support.picture_files import saved


def filed(truth: np.ndarray, pitch: int, **how) -> bytes:
    return saved(Image.fromarray(truth.repeat(pitch, axis=0).repeat(pitch, axis=1)), "JPEG", **how)


@pytest.mark.parametrize(("pitch", "quality", "seed"), [(8, 40, 1), (10, 30, 2)])
def test_a_patchwork_kept_with_little_quality_is_read_in_its_own_colours(pitch, quality, seed):
    truth = patchwork(seed)
    grid = read_picture(filed(truth, pitch, quality=quality, subsampling=2)).grid
    assert (off(grid.rgb, truth) < 5).mean() >= 0.99


@pytest.mark.parametrize("seed", [1, 2])
def test_colours_of_cells_of_two_shares_and_a_half_a_side_are_never_sure(seed):
    """The file keeps one share of colour for two by two pixels."""
    for quality in (50, 80):
        assert not read_picture(filed(patchwork(seed), 5, quality=quality, subsampling=2)).sure


def test_what_blocks_do_to_small_cells_is_undone_by_doing_it_to_a_drawing_of_them():
    truth = patchwork(3)
    decoded = decode(filed(truth, 5, quality=55, subsampling=2))
    values = np.asarray(decoded.image.convert("RGB")).astype(np.float32)
    axes = Axis(0.0, 5.0, 18), Axis(0.0, 5.0, 20)
    read = read_cells(values, *axes, HARD[0])
    assert can_be_kept(decoded.shares, decoded.tables)
    own = with_own_colours(read, values, *axes, HARD[0], decoded.shares, decoded.tables)
    assert off(own, truth).mean() < 0.7 * off(read.colours, truth).mean()


def test_cells_no_drawing_of_which_comes_nearer_stay_as_they_were_read():
    """Noise was never drawn in cells, whatever is put right in them."""
    noise = np.random.default_rng(4).integers(0, 256, (90, 100, 3), dtype=np.uint8)
    decoded = decode(saved(Image.fromarray(noise), "JPEG", quality=90, subsampling=0))
    values = np.asarray(decoded.image.convert("RGB")).astype(np.float32)
    axes = Axis(0.0, 5.0, 18), Axis(0.0, 5.0, 20)
    read = read_cells(values, *axes, HARD[0])
    own = with_own_colours(read, values, *axes, HARD[0], decoded.shares, decoded.tables)
    assert own is read.colours


@pytest.mark.parametrize(("shares", "tables"), [((2, 1), 2), ((2, 2), 0), ((1, 1), 3)])
def test_what_the_encoder_cannot_keep_alike_is_not_tried(shares, tables):
    assert not can_be_kept(shares, ((16,) * 64,) * tables)
