"""Rings: as wide as the timber says, dark where they end, and vessels where they begin."""

from __future__ import annotations

import numpy as np
import pytest

from planner.drawing.preview.grain_noise import words_of
from planner.drawing.preview.grain_rings import SLANTS, ring_tables
from planner.drawing.preview.timber import Pores, Rings, Timber
from planner.drawing.preview.timbers import TIMBERS

STRIPS = 30


def tables(timber: Timber, reach: float = 80.0, pixel: float = 0.2):
    return ring_tables(timber, words_of(range(STRIPS)), np.full(STRIPS, 60.0), reach, pixel)


@pytest.mark.parametrize("wood_id", ["oak-white", "ash-white", "hickory-true"])
def test_a_ring_porous_wood_has_one_zone_of_vessels_a_ring(wood_id):
    timber = TIMBERS[wood_id]
    open_ = tables(timber).pores[:, 0] > 0.5
    zones = (np.diff(open_.astype(int), axis=1) == 1).sum(axis=1).mean()
    assert abs(zones * timber.rings.width_mm / 80 - 1) < 0.2
    assert abs(open_.mean() * 80 / zones - timber.rings.early_mm) < 0.15


def test_in_a_semi_ring_porous_wood_vessels_thin_out_without_a_zone():
    pores = tables(TIMBERS["walnut-black"]).pores[:, 0]
    assert pores.min() < 0.4 < 0.9 < pores.max()
    assert 0.45 < pores.mean() < 0.75


def test_a_diffuse_porous_wood_needs_no_table_of_vessels():
    assert tables(TIMBERS["maple-hard"]).pores is None


def test_a_ring_darkens_slowly_and_begins_anew_at_once():
    plain = Timber(Rings(2.0, uneven=0.0, late=0.3, uneven_tone=0.0), Pores(0.05, 10, 1), fibre=0.0)
    tone = tables(plain, pixel=0.05).tone[:, 0]
    steps = np.diff(tone, axis=1)
    assert steps.max() > 5 * -steps.min()
    assert (steps < 0).mean() > 0.8


def test_seen_straight_across_by_wide_pixels_rings_fade_and_along_them_they_do_not():
    tone = tables(TIMBERS["wenge"], pixel=2.5).tone
    across, along = tone[:, SLANTS - 1].std(), tone[:, 0].std()
    assert across < 0.7 * along
    assert abs(np.exp(tone[:, SLANTS - 1]).mean() / np.exp(tone[:, 0]).mean() - 1) < 0.01


def test_a_place_is_the_same_ring_wherever_a_table_begins():
    timber, words = TIMBERS["ash-white"], words_of(range(STRIPS))
    one = ring_tables(timber, words, np.full(STRIPS, 60.0), 30.0, 0.2)
    other = ring_tables(timber, words, np.full(STRIPS, 60.0 + 400 * one.step), 30.0, 0.2)
    inside = slice(20, 400)
    shifted = one.tone[:, 0, 420:800]
    assert np.abs(other.tone[:, 0, inside][:, : shifted.shape[1]] - shifted).mean() < 0.01
