"""End grain: rings as arcs about one pith, rays towards it, vessels as round dots."""

from __future__ import annotations

import numpy as np
import pytest

from planner.drawing.preview.endgrain import end_sheet_of
from planner.drawing.preview.grain import strips
from planner.drawing.preview.timber import Pores, Rings, Timber
from planner.drawing.preview.timbers import TIMBERS

GREY = (0.3, 0.3, 0.3)


def test_neither_side_is_the_grains():
    level = np.log(strips(TIMBERS["ash-white"], GREY, range(60), 60, 60, 0.4, "end").mean(axis=-1))
    across, along = (np.abs(np.diff(level, axis=axis)).mean() for axis in (1, 2))
    assert 0.85 < across / along < 1.18


def test_rings_run_alike_over_the_whole_end_and_bend_about_one_side():
    """The direction in which tone changes most, in each quarter of an end, lies within the bow of a trunk's rings."""
    plain = Timber(Rings(3.0, late=0.4, wander_mm=0.2, uneven_tone=0.0), Pores(0.05, 1, 1), fibre=0.0)
    for drawn in strips(plain, GREY, range(20), 80, 80, 0.3, "end").mean(axis=-1):
        turns = []
        for part in (drawn[:40, :40], drawn[:40, 40:], drawn[40:, :40], drawn[40:, 40:]):
            down, right = np.gradient(np.log(part))
            turns.append(np.arctan2(2 * (down * right).mean(), (right**2 - down**2).mean()) / 2)
        apart = [abs((a - b + np.pi / 2) % np.pi - np.pi / 2) for a in turns for b in turns]
        assert max(apart) < np.radians(50)


@pytest.mark.parametrize("wood_id", ["padauk", "wenge", "sapele"])
@pytest.mark.parametrize("pixel", [0.25, 1.0, 3.0])
def test_dots_cover_as_much_as_their_number_and_size_say(wood_id, pixel):
    pores = TIMBERS[wood_id].pores
    expected = pores.per_mm2 * np.pi / 4 * pores.diameter_mm**2
    assert 0.8 < end_sheet_of(TIMBERS[wood_id], pixel).dots.mean() / 255 / expected < 1.25


def test_dots_are_round():
    sheet = end_sheet_of(TIMBERS["padauk"], 0.25)
    dots = sheet.dots.reshape(sheet.rows, sheet.rows).astype(float)
    dots -= dots.mean()
    step = round(0.16 / sheet.row_mm)
    down, right = ((dots * np.roll(dots, step, axis)).mean() for axis in (0, 1))
    assert 0.8 < down / right < 1.25


def test_large_rays_show_where_a_timber_has_them():
    with_rays, without = (end_sheet_of(TIMBERS[name], 0.25).rays.std() for name in ("beech", "walnut-black"))
    assert with_rays > 2 * without
