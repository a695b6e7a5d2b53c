"""A file may keep one share of colour for two pixels by two: small cells have their own colours all the same."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.colour import ciede2000, srgb_to_lab
from planner.picture.decode import decode
from planner.picture.exact_cells import Axis
from planner.picture.redraw import HARD
from planner.picture.shares import with_own_shares
from tests.support.picture_files import saved

COLOURS = np.array([(214, 40, 40), (36, 60, 160), (60, 150, 70), (245, 200, 60), (235, 235, 225)], dtype=np.uint8)


def patchwork(seed: int) -> np.ndarray:
    return COLOURS[np.random.default_rng(seed).integers(0, len(COLOURS), (18, 20))]


def off(rgb: np.ndarray, truth: np.ndarray) -> np.ndarray:
    assert rgb.shape == truth.shape
    return np.asarray(ciede2000(srgb_to_lab(rgb), srgb_to_lab(truth)))


@pytest.mark.parametrize("seed", [1, 2])
@pytest.mark.parametrize("pitch", [5, 7])
def test_a_patchwork_of_small_cells_keeps_its_colours_where_two_pixels_by_two_share_theirs(seed, pitch):
    truth = patchwork(seed)
    image = Image.fromarray(truth.repeat(pitch, axis=0).repeat(pitch, axis=1))
    reading = read_picture(saved(image, "JPEG", quality=85, subsampling=2))
    assert (off(reading.grid.rgb, truth) < 5).mean() >= 0.99


def test_shares_are_told_from_those_of_the_cells_beside_them():
    truth = patchwork(3)
    data = saved(Image.fromarray(truth.repeat(5, axis=0).repeat(5, axis=1)), "JPEG", quality=95, subsampling=2)
    values = np.asarray(decode(data).image.convert("RGB")).astype(np.float32)
    inner = values.reshape(18, 5, 20, 5, 3)[:, 1:4, :, 1:4].mean(axis=(1, 3)).astype(float)
    unmixed = with_own_shares(inner, values, Axis(0.0, 5.0, 18), Axis(0.0, 5.0, 20), HARD[0], (2, 2))
    assert off(unmixed, truth).mean() < 0.6 * off(inner, truth).mean()


@pytest.mark.parametrize(
    ("kind", "how", "shares"),
    [
        ("JPEG", {"subsampling": 0}, (1, 1)),
        ("JPEG", {"subsampling": 1}, (1, 2)),
        ("JPEG", {"subsampling": 2}, (2, 2)),
        ("WEBP", {"quality": 80}, (2, 2)),
        ("WEBP", {"lossless": True}, (1, 1)),
        ("PNG", {}, (1, 1)),
    ],
)
def test_a_file_says_for_how_many_pixels_it_keeps_one_share(kind, how, shares):
    assert decode(saved(Image.fromarray(patchwork(4)), kind, **how)).shares == shares


@pytest.mark.parametrize(("kind", "how", "tables"), [("JPEG", {"quality": 60}, 2), ("PNG", {}, 0), ("WEBP", {}, 0)])
def test_a_jpeg_says_in_what_steps_it_keeps_its_blocks(kind, how, tables):
    data = saved(Image.fromarray(patchwork(4)), kind, **how)
    found = decode(data).tables
    assert len(found) == tables and all(len(table) == 64 for table in found)
    if tables:
        # Kept by the same steps a drawing says the same of itself.
        again = saved(Image.fromarray(patchwork(5)), kind, qtables=[list(table) for table in found])
        assert decode(again).tables == found


def test_a_grey_file_has_no_shares_of_colour():
    grey = decode(saved(Image.fromarray(patchwork(5)).convert("L"), "JPEG"))
    assert grey.shares == (1, 1) and grey.tables == ()
