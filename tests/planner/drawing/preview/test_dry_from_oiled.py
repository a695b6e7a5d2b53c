"""The dry colour estimated from the oiled one: a published relation between wet and dry, taken half the way."""

from __future__ import annotations

import numpy as np
import pytest

from planner.drawing.preview.finish import _dry_of, _everywhere, dry_from_oiled, to_linear, to_srgb
from planner.picture.colour import srgb_to_lab
from planner.woods import WOODS


def test_the_mean_reflectance_of_water_in_light_from_everywhere_is_as_published():
    """0.066 for a flat sea under an even sky (from memory)."""
    assert _everywhere(4 / 3) == pytest.approx(0.066, abs=0.001)


def test_a_face_that_bends_no_light_mirrors_none():
    assert _everywhere(1.0) == pytest.approx(0, abs=1e-12)


@pytest.mark.parametrize("wood", WOODS)
def test_every_wood_is_lighter_dry_and_of_about_its_hue(wood):
    oiled = WOODS[wood].finished_rgb
    dry = dry_from_oiled(oiled)
    before, after = srgb_to_lab(oiled), srgb_to_lab(dry)
    assert all(d >= o for d, o in zip(dry, oiled, strict=True))
    # Oil takes a few to a dozen steps of lightness off a wood (from memory).
    assert 2 < after[0] - before[0] < 13
    turn = np.degrees(np.arctan2(after[2], after[1]) - np.arctan2(before[2], before[1]))
    assert abs(turn) < 12


def test_lighter_oiled_is_lighter_dry_and_white_stays_white():
    greys = [dry_from_oiled((v, v, v))[0] for v in range(5, 256, 10)]
    assert greys == sorted(greys) and len(set(greys)) == len(greys)
    assert dry_from_oiled((255, 255, 255)) == (255, 255, 255)


def test_the_relation_is_the_oiled_one_solved_backwards():
    """What is absorbed at each meeting, dry, put through oil again: the fraction of light that comes back is the one
    that was begun with."""
    oiled = np.array([0.04, 0.2, 0.5, 0.8])
    n, wall = 1.48, 1.53
    absorbed = (1 - _dry_of(oiled)) * (1 - _everywhere(wall / n)) / (1 - _everywhere(wall))
    inside = 1 - (1 - _everywhere(n)) / n**2
    enters, back, total = 1 - ((n - 1) / (n + 1)) ** 2, np.ones(4), np.zeros(4)
    # Ray by ray: some leave, the rest is mirrored down and meets the wood again.
    for _ in range(400):
        back = back * (1 - absorbed)
        total += back * (1 - inside)
        back = back * inside
    assert enters * total == pytest.approx(oiled, rel=1e-6)


def test_colours_and_light_are_each_others_inverse():
    for rgb in ((0, 3, 10), (84, 58, 43), (255, 128, 200)):
        assert to_srgb(to_linear(rgb)) == rgb
