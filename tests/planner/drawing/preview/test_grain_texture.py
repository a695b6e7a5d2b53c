"""Sheets: as much of each kind as the timber says, at every size of pixel."""

from __future__ import annotations

import numpy as np
import pytest

from planner.drawing.preview.grain_texture import TONE_RANGE, sheet_of
from planner.drawing.preview.timbers import TIMBERS

PIXELS = [0.25, 0.5, 1.0, 2.5]


def layers(wood_id: str, pixel: float) -> np.ndarray:
    """Tone, vessels, spindles, flecks, each 0 to 255: (rows, columns, 4)."""
    sheet = sheet_of(TIMBERS[wood_id], pixel)
    return sheet.places.view(np.uint8).reshape(sheet.rows, sheet.columns, 4)


@pytest.mark.parametrize("wood_id", ["padauk", "sapele", "oak-northern-red", "walnut-black"])
def test_vessels_cover_as_much_as_their_number_and_size_say(wood_id):
    """A face cuts the vessels within half a diameter of it, and shows on the mean pi/4 of the diameter of each."""
    pores = TIMBERS[wood_id].pores
    expected = pores.per_mm2 * pores.diameter_mm * pores.diameter_mm * np.pi / 4 * 0.82
    for pixel in PIXELS:
        assert 0.6 < layers(wood_id, pixel)[..., 1].mean() / 255 / expected < 1.2


@pytest.mark.parametrize("kind", [1, 2, 3])
def test_however_coarse_a_sheet_covers_the_same_share(kind):
    shares = [layers("beech", pixel)[..., kind].mean() for pixel in PIXELS]
    assert max(shares) < 1.25 * min(shares)


def test_coarser_sheets_are_smoother():
    for kind in range(4):
        spreads = [layers("beech", pixel)[..., kind].std() for pixel in PIXELS]
        assert spreads == sorted(spreads, reverse=True)


def test_fibres_neither_lighten_nor_darken_on_the_whole():
    for pixel in PIXELS:
        tone = (layers("basswood", pixel)[..., 0] / 255.0 - 0.5) * 2 * TONE_RANGE
        assert abs(tone.mean()) < 0.01


def test_dashes_lie_along_the_grain_and_flecks_across():
    """Sizes in millimetres, by how far a layer stays like itself."""
    sheet = sheet_of(TIMBERS["sycamore"], 0.25)
    for kind, along_longer in ((1, True), (2, True), (3, False)):
        layer = layers("sycamore", 0.25)[..., kind].astype(float)
        layer -= layer.mean()
        across = (layer * np.roll(layer, round(0.8 / sheet.row_mm), 0)).mean()
        along = (layer * np.roll(layer, round(0.8 / sheet.column_mm), 1)).mean()
        assert (along > across) == along_longer


def test_whoever_runs_off_the_right_edge_comes_in_again_lower():
    sheet = sheet_of(TIMBERS["padauk"], 0.25)
    vessels = layers("padauk", 0.25)[..., 1].astype(float)
    end, begin = vessels[:, -1], np.roll(vessels[:, 0], -sheet.fall)
    assert np.corrcoef(end, begin)[0, 1] > 0.8
