"""An ordinary picture reduced to a chosen grid keeps what makes it readable: lines, eyes, clean edges, few colours."""

from __future__ import annotations

import time
from itertools import pairwise

import numpy as np
import pytest
from PIL import Image, ImageDraw

from planner.picture import PictureError
from planner.picture.reduction import Crop, reduce_picture
from tests.support.picture_files import saved, speckled

PAPER, INK, RED, BLUE = (246, 244, 238), (24, 26, 34), (190, 40, 50), (40, 90, 150)
CELL = 25


def page(rows: int, columns: int, paper=PAPER) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (columns * CELL, rows * CELL), paper)
    return image, ImageDraw.Draw(image)


def near(rgb: np.ndarray, colour: tuple[int, ...]) -> np.ndarray:
    return np.abs(rgb.astype(int) - colour).max(axis=2) <= 24


@pytest.mark.parametrize("offset", [0, 6, 12, 13, 19])
@pytest.mark.parametrize("width", [10, 17, 25, 32])
def test_a_line_no_wider_than_a_tile_survives_one_tile_wide_wherever_it_lies(width, offset):
    image, draw = page(24, 24)
    draw.rectangle([10 * CELL + offset, 3 * CELL, 10 * CELL + offset + width - 1, 21 * CELL - 1], INK)
    grid = reduce_picture(saved(image), None, 24, 24, 4)
    inked = near(grid.rgb, INK) & grid.filled
    assert (inked[4:20].sum(axis=1) == 1).all()
    assert inked[4:20].any(axis=0).sum() == 1
    assert not grid.filled[:, :8].any() and not grid.filled[:, 14:].any()


def test_a_slanting_line_comes_out_unbroken():
    image, draw = page(32, 32)
    draw.line([(3 * CELL, 5 * CELL), (28 * CELL, 22 * CELL)], INK, 16)
    inked = near(reduce_picture(saved(image), None, 32, 32, 4).rgb, INK)
    columns = np.flatnonzero(inked.any(axis=0))
    assert columns.min() <= 3 and columns.max() >= 27 and (np.diff(columns) == 1).all()
    rows = [np.flatnonzero(inked[:, column]) for column in columns]
    assert all(np.abs(one[:, None] - other[None]).min() <= 1 for one, other in pairwise(rows))
    assert inked.sum() <= 1.6 * len(columns)


@pytest.mark.parametrize("shift", [(0, 0), (12, 12), (7, 20), (12, 0)])
def test_an_eye_of_one_tile_survives_as_one_tile(shift):
    image, draw = page(20, 20, BLUE)
    draw.ellipse([4 * CELL, 4 * CELL, 16 * CELL, 16 * CELL], (230, 190, 160))
    x, y = 9 * CELL + shift[0], 8 * CELL + shift[1]
    draw.ellipse([x, y, x + CELL, y + CELL], INK)
    inked = near(reduce_picture(saved(image), None, 20, 20, 6).rgb, INK)
    assert inked.sum() == 1 and inked[8:10, 9:11].any()


def test_a_glint_in_a_pupil_is_not_smeared_into_grey():
    image, draw = page(20, 20)
    draw.ellipse([6 * CELL, 6 * CELL, 13 * CELL, 13 * CELL], INK)
    draw.ellipse([8 * CELL + 10, 8 * CELL + 10, 9 * CELL + 6, 9 * CELL + 6], (255, 255, 255))
    grid = reduce_picture(saved(image), None, 20, 20, 3)
    bright = near(grid.rgb, (255, 255, 255)) & grid.filled
    assert bright.sum() == 1 and bright[8:10, 8:10].any()


@pytest.mark.parametrize("edge", [250, 258, 262, 263, 270])
def test_two_flat_halves_keep_one_clean_edge(edge):
    image, draw = page(20, 20, RED)
    draw.rectangle([edge, 0, 499, 499], BLUE)
    rgb = reduce_picture(saved(image, "JPEG", quality=90), None, 20, 20, 6).rgb
    left, right = near(rgb, RED), near(rgb, BLUE)
    assert (left | right).all()
    # Half a tile and what the compression smears.
    assert len(np.unique(left.sum(axis=1))) == 1 and abs(left[0].sum() - edge / CELL) <= 0.54


def test_a_smooth_slope_turns_to_steps_without_speckles():
    x = np.linspace(0, 1, 900)
    ramp = np.stack([40 + 180 * x, 80 + 120 * x, 200 - 60 * x], axis=-1)[None].repeat(600, axis=0)
    noisy = ramp + np.random.default_rng(4).normal(0, 6, ramp.shape)
    grid = reduce_picture(saved(Image.fromarray(noisy.clip(0, 255).astype(np.uint8))), None, 40, 60, 8)
    _, labels = np.unique(grid.rgb.reshape(-1, 3), axis=0, return_inverse=True)
    labels = labels.reshape(40, 60)
    ring = np.pad(labels, 1, constant_values=-1)
    alike = sum(ring[1 + dy : 41 + dy, 1 + dx : 61 + dx] == labels for dy, dx in ((0, 1), (1, 0), (0, -1), (-1, 0)))
    assert (alike == 0).sum() == 0
    assert labels.max() + 1 >= 6
    # Every row steps from colour to colour seven times at most, with no way back.
    assert ((labels[:, 1:] != labels[:, :-1]).sum(axis=1) <= 8).all()


@pytest.mark.parametrize("colours", [1, 2, 5, 12, 64])
def test_no_more_colours_are_used_than_were_asked_for(colours):
    noise = np.random.default_rng(8).integers(0, 256, (300, 300, 3), dtype=np.uint8)
    grid = reduce_picture(saved(Image.fromarray(noise)), None, 30, 30, colours)
    assert 1 <= len(grid.colours()) <= colours


def test_a_small_spot_of_a_colour_of_its_own_keeps_it():
    image, draw = page(40, 40)
    for k in range(10):
        draw.rectangle([0, k * 100, 999, k * 100 + 99], (40 + 8 * k, 90 + 8 * k, 110 + 10 * k))
    draw.rectangle([500, 500, 549, 549], (240, 140, 20))
    grid = reduce_picture(saved(image), None, 40, 40, 5)
    assert near(grid.rgb, (240, 140, 20))[20:22, 20:22].all()


def test_flat_paper_around_a_drawing_is_background_and_what_it_encloses_is_not():
    image, draw = page(20, 20)
    draw.ellipse([4 * CELL, 4 * CELL, 16 * CELL, 16 * CELL], PAPER, INK, 3 * CELL)
    filled = reduce_picture(saved(image, "JPEG", quality=80), None, 20, 20, 4).filled
    assert not filled[[0, -1]].any() and not filled[:, [0, -1]].any()
    assert filled[9:11, 9:11].all()


def test_paper_in_slanting_light_is_background_all_over():
    image, draw = page(24, 24)
    draw.ellipse([7 * CELL, 7 * CELL, 17 * CELL, 17 * CELL], BLUE)
    light = np.linspace(1, 0.82, 600)[None, :, None] * np.linspace(1, 0.97, 600)[:, None, None]
    lit = Image.fromarray((np.asarray(image) * light).astype(np.uint8))
    filled = reduce_picture(saved(lit, "JPEG", quality=85), None, 24, 24, 6).filled
    y, x = np.indices((24, 24)) + 0.5
    from_middle = np.hypot(y - 12, x - 12)
    assert filled[from_middle < 4].all() and not filled[from_middle > 6].any()


def test_a_sky_that_runs_from_blue_to_pale_is_no_background():
    y = np.linspace(0, 1, 600)[:, None, None]
    sky = (1 - y) * np.array([60, 110, 190]) + y * np.array([205, 220, 235])
    image = Image.fromarray(np.broadcast_to(sky, (600, 600, 3)).astype(np.uint8))
    ImageDraw.Draw(image).rectangle([0, 420, 599, 599], (60, 90, 40))
    assert reduce_picture(saved(image), None, 24, 24, 8).filled.all()


def test_a_picture_without_flat_ground_keeps_every_tile():
    rng = np.random.default_rng(2)
    colours = rng.integers(0, 256, (6, 6, 3), dtype=np.uint8)
    image = Image.fromarray(colours).resize((600, 600), Image.Resampling.BICUBIC)
    assert reduce_picture(saved(image), None, 24, 24, 12).filled.all()


def test_what_is_transparent_is_background_and_lends_no_colour():
    rgba = np.zeros((500, 500, 4), dtype=np.uint8)
    rgba[..., :3] = (255, 0, 255)
    rgba[112:388, 137:363] = (*BLUE, 255)
    rgba[40:112, 244:256] = (*RED, 255)
    grid = reduce_picture(saved(Image.fromarray(rgba)), None, 20, 20, 4)
    assert not grid.filled[0].any() and grid.filled[6:15, 7:13].all()
    assert near(grid.rgb, BLUE)[6:15, 7:13].all()
    assert (grid.filled[2:4].sum(axis=1) == 1).all()
    assert not near(grid.rgb[grid.filled][None], (255, 0, 255)).any()


def test_only_the_part_chosen_is_reduced():
    image, draw = page(20, 20, RED)
    draw.rectangle([250, 100, 449, 299], BLUE)
    draw.rectangle([300, 150, 399, 249], INK)
    grid = reduce_picture(saved(image), Crop(250, 100, 200, 200), 8, 8, 4)
    assert near(grid.rgb, INK)[2:6, 2:6].all() and not near(grid.rgb, RED).any()


def test_equal_pictures_give_equal_grids():
    noise = np.random.default_rng(9).integers(0, 256, (200, 260, 3), dtype=np.uint8)
    data = saved(Image.fromarray(noise))
    one, other = (reduce_picture(data, None, 26, 20, 9) for _ in range(2))
    assert (one.rgb == other.rgb).all() and (one.filled == other.filled).all()


def test_the_greatest_grid_is_reduced_too_and_a_tiny_picture_as_well():
    image = Image.fromarray(np.random.default_rng(1).integers(0, 256, (300, 300, 3), dtype=np.uint8))
    assert reduce_picture(saved(image), None, 200, 200, 40).filled.shape == (200, 200)
    assert reduce_picture(saved(Image.fromarray(speckled(7, 5))), None, 64, 48, 6).filled.shape == (64, 48)
    assert reduce_picture(saved(image), None, 1, 200, 6).filled.shape == (1, 200)


def test_a_picture_of_one_colour_holds_nothing_but_background():
    with pytest.raises(PictureError, match="nothing in the picture but background"):
        reduce_picture(saved(page(8, 8)[0]), None, 8, 8, 4)


def test_a_preview_is_quick():
    image, draw = page(64, 64)
    for k in range(40):
        draw.line([(k * 40, 0), (1600 - 31 * k, 1600)], (5 * k, 90, 200 - 4 * k), 20)
    data = saved(image, "JPEG", quality=90)
    took = []
    for _ in range(5):
        begun = time.thread_time()
        reduce_picture(data, None, 64, 64, 12)
        took.append(time.thread_time() - begun)
    # The promise is 0.15 s; a busy machine is given twice that before this says that something went wrong.
    assert min(took) < 0.3
