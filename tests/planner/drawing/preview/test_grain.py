"""Strips of wood: their colour, their spread, the same wood from the same seed and at any size."""

from __future__ import annotations

import numpy as np

from planner.drawing.preview.grain import strips
from planner.drawing.preview.timber import Figure, Pores, Rings, Timber
from planner.drawing.preview.timbers import TIMBERS
from planner.picture.colour import ciede2000, srgb_to_lab
from planner.woods import WOODS
from tests.support.each import each

SURFACES = ["face", "end"]
DRAWN = ["sycamore", "birch-yellow", "beech", "sapele", "walnut-black", "padauk", "oak-northern-red", "wenge"]


def linear(rgb) -> np.ndarray:
    part = np.asarray(rgb) / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def lab(light) -> np.ndarray:
    return srgb_to_lab(255 * np.where(light <= 0.0031308, light * 12.92, 1.055 * np.abs(light) ** (1 / 2.4) - 0.055))


def light_of(wood_id: str) -> np.ndarray:
    return linear(WOODS[wood_id].finished_rgb)


def alike(one: np.ndarray, other: np.ndarray) -> bool:
    """But for a few pixels on the edge of a ring, where the last bit decides."""
    return bool(np.isclose(one, other, rtol=1e-3).mean() > 0.995)


def lightness(drawn: np.ndarray) -> np.ndarray:
    return drawn.mean(axis=-1, dtype=np.float64)


@each("surface", SURFACES)
@each("wood_id", TIMBERS)
def test_forty_strips_average_the_samples_colour(wood_id, surface):
    light = light_of(wood_id)
    drawn = strips(TIMBERS[wood_id], light, range(40), 22, 150 if surface == "face" else 22, 1.0, surface)
    assert ciede2000(lab(drawn.mean(axis=(0, 1, 2), dtype=np.float64)), lab(light)) < 1


@each("wood_id", DRAWN)
def test_many_strips_average_the_colour_in_light_itself(wood_id):
    light = light_of(wood_id)
    drawn = strips(TIMBERS[wood_id], light, range(600), 8, 30, 2.5)
    assert np.abs(drawn.mean(axis=(0, 1, 2), dtype=np.float64) / light - 1).max() < 0.04


@each("light", [(0.93, 0.9, 0.85), (0.97, 0.96, 0.95), (0.004, 0.003, 0.003), (0.02, 0.02, 0.02)])
@each("wood_id", ["walnut-black", "basswood", "padauk", "oak-white"])
def test_the_lightest_and_darkest_samples_keep_their_colour(wood_id, light):
    drawn = strips(TIMBERS[wood_id], light, range(40), 22, 150, 1.0)
    assert ciede2000(lab(drawn.mean(axis=(0, 1, 2), dtype=np.float64)), lab(np.array(light))) < 1
    assert drawn.min() >= 0
    assert drawn.max() <= 1


@each("wood_id", TIMBERS)
def test_strips_differ_from_each_other_as_the_timber_says(wood_id):
    timber = TIMBERS[wood_id]
    drawn = strips(timber, 0.4 * light_of(wood_id), range(300), 10, 40, 2.0)
    spread = np.log(drawn.mean(axis=(1, 2, 3), dtype=np.float64)).std()
    assert 0.6 * timber.spread < spread < 1.4 * timber.spread


@each("surface", SURFACES)
def test_the_same_seed_is_the_same_strip_to_the_byte(surface):
    timber, light = TIMBERS["walnut-black"], light_of("walnut-black")
    once, again = (strips(timber, light, [5, 6, 7], 30, 90, 0.5, surface) for _ in range(2))
    assert once.tobytes() == again.tobytes()
    # In whatever company it is drawn.
    assert alike(strips(timber, light, [6], 30, 90, 0.5, surface)[0], once[1])


@each("surface", SURFACES)
def test_another_seed_or_another_wood_is_another_strip(surface):
    light = light_of("cherry-black")
    one, other = strips(TIMBERS["cherry-black"], light, [1, 2], 40, 40, 0.5, surface)
    assert np.abs(one - other).mean() > 0.01
    level = [
        lightness(strips(TIMBERS[name], light, [1], 40, 160, 0.5, surface))[0]
        for name in ("cherry-black", "maple-soft")
    ]
    assert abs(np.corrcoef(level[0].ravel(), level[1].ravel())[0, 1]) < 0.5


@each("surface", SURFACES)
@each(
    ("count", "wide", "long", "pixel"),
    [(0, 5, 5, 1.0), (1, 1, 1, 0.5), (2, 1, 900, 0.5), (1, 30, 30, 0.05), (3, 5, 5, 12.0), (2, 3, 4, 40.0)],
)
def test_any_size_is_drawn(count, wide, long, pixel, surface):
    for wood_id in ("oak-white", "sapele", "basswood"):
        drawn = strips(TIMBERS[wood_id], light_of(wood_id), range(count), wide, long, pixel, surface)
        assert drawn.shape == (count, wide, long, 3)
        assert np.isfinite(drawn).all()


def test_seeds_may_be_of_any_size():
    drawn = strips(TIMBERS["beech"], light_of("beech"), [-3, 0, 2**64 - 3, 2**70], 4, 9, 1.0)
    assert drawn.shape == (4, 4, 9, 3)
    assert drawn.dtype == np.float32
    assert np.isfinite(drawn).all()


@each("wood_id", DRAWN)
def test_a_strip_drawn_longer_or_wider_is_the_same_piece_of_wood(wood_id):
    timber, light = TIMBERS[wood_id], light_of(wood_id)
    short = strips(timber, light, [3], 24, 120, 0.7)
    assert alike(strips(timber, light, [3], 40, 400, 0.7)[:, :24, :120], short)


@each("surface", SURFACES)
@each(("times", "pixel"), [(4, 0.25), (5, 0.4)])
@each("wood_id", DRAWN)
def test_a_strip_seen_from_further_off_is_the_mean_of_what_it_was(wood_id, times, pixel, surface):
    """What is finer than a pixel fades to its mean: neither does it sparkle, nor is anything else to be seen."""
    timber, light = TIMBERS[wood_id], light_of(wood_id)
    fine = lightness(strips(timber, light, range(8), 80, 320, pixel, surface))
    coarse = lightness(strips(timber, light, range(8), 80 // times, 320 // times, pixel * times, surface))
    mean = fine.reshape(8, 80 // times, times, 320 // times, times).mean(axis=(2, 4))
    apart = np.log(coarse / mean)
    inside = np.log(mean / mean.mean(axis=(1, 2), keepdims=True))
    # Large vessels of oaks lie on each other here and there, which a coarse pixel does not see.
    assert abs(apart.mean()) < 0.02
    assert apart.std() < 0.5 * inside.std() + 0.012
    for axis in (1, 2):
        step, true_step = (np.abs(np.diff(np.log(level), axis=axis)).mean() for level in (coarse, mean))
        assert step < 1.2 * true_step + 0.002


def test_narrow_rings_do_not_beat_with_the_pixels():
    """Rings of 0.45 mm on the quarter at 1 mm a pixel: sampled without care they would show stripes many rings wide."""
    contrast = 0.6
    narrow = Timber(
        Rings(0.45, uneven=0.0, late=contrast, uneven_tone=0.0, wander_mm=0.0),
        Pores(0.05, 1, 1),
        figure=Figure(mottle=0.0),
        fibre=0.0,
        cut=(88.0, 0.0),
    )
    level = np.log(lightness(strips(narrow, (0.3, 0.3, 0.3), range(20), 60, 40, 1.0)))
    # What is left is that one ring is darker than another, not how pixels fall on them.
    assert level.std(axis=1).mean() < 0.1 * contrast
    near = np.log(lightness(strips(narrow, (0.3, 0.3, 0.3), range(20), 240, 40, 0.08)))
    assert near.std(axis=1).mean() > 0.2 * contrast


@each("wood_id", DRAWN)
def test_grain_runs_along_the_strip(wood_id):
    """Tone changes slower along the grain than across it (flecks of the quarter, which lie across, set aside)."""
    timber = TIMBERS[wood_id]
    level = np.log(lightness(strips(timber, light_of(wood_id), range(30), 60, 200, 0.5)))
    if timber.rays.cover > 0.4:
        return
    across, along = (np.abs(np.diff(level, axis=axis)).mean() for axis in (1, 2))
    assert along < 0.7 * across


def test_a_board_long_enough_does_not_repeat():
    level = np.log(lightness(strips(TIMBERS["sycamore"], light_of("sycamore"), [4], 40, 2600, 0.5)))[0]
    level -= level.mean(axis=1, keepdims=True)
    start = level[:, :400]
    alike = [
        np.corrcoef(start.ravel(), level[:, at : at + 400].ravel())[0, 1] for at in range(400, level.shape[1] - 400, 1)
    ]
    assert max(alike) < 0.4
