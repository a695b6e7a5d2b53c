"""Uneven light is told from what is drawn, and cells drift together only as far as they drifted apart."""

from __future__ import annotations

import numpy as np
import pytest

from planner.picture.charts import find_charts
from planner.picture.charts.cleaning import cleaned
from planner.picture.charts.clipping import lifted
from planner.picture.charts.light import light_over
from planner.picture.cleaning import cleaned_colours

COLOURS = np.array([[250, 248, 240], [180, 90, 40], [40, 90, 160], [60, 120, 70]], dtype=np.float64)


def drawn(rows=30, columns=24):
    """Patches of four colours, the first as paper all around."""
    which = np.zeros((rows, columns), dtype=int)
    which[5:15, 4:12], which[5:15, 12:20], which[15:25, 4:20] = 1, 2, 3
    return COLOURS[which]


def falling(rows=30, columns=24, by=0.25):
    y, x = np.mgrid[0 : 1 : rows * 1j, 0 : 1 : columns * 1j]
    factor = 1 - by * (0.7 * x + 0.3 * y * y)
    return factor / factor.mean()


def test_light_that_falls_over_the_page_is_found_to_within_a_hundredth():
    light = light_over(drawn() * 0.9 * falling()[..., None])
    assert np.abs(light - falling()).max() < 0.01


def test_light_is_found_under_noise():
    noise = np.random.default_rng(1).normal(0, 1.5, (30, 24, 3))
    light = light_over(drawn() * 0.9 * falling()[..., None] + noise)
    assert np.abs(light - falling()).max() < 0.02


def test_even_light_is_none():
    assert light_over(drawn()) is None
    assert light_over(drawn() + np.random.default_rng(2).normal(0, 1.5, (30, 24, 3))) is None


def test_a_sky_drawn_in_steps_is_no_uneven_light():
    cells = drawn()
    cells[:12] = np.linspace((120, 160, 220), (200, 220, 240), 12)[:, None]
    light = light_over(cells)
    assert light is None or np.abs(light[15:] - light[15:].mean()).max() < 0.01


@pytest.mark.parametrize("sky", [((11, 6, 31), (78, 46, 102)), ((20, 30, 60), (90, 110, 160))])
def test_what_is_drawn_darker_to_one_side_is_no_light_where_the_page_is_white_on_all(sky):
    """Stars and roofs on white paper: light that fell so would have left the paper above darker than below."""
    for seed in (2, 10, 11):
        rng = np.random.default_rng(seed)
        cells = np.full((23, 36, 3), 255.0)
        cells[2:-2, 2:-2] = np.linspace(*sky, 19)[:, None]
        cells[3:12, 3:-3][rng.random((9, 30)) < 0.06] = (250, 245, 210)
        start = 2
        while start < 34:
            stop, top = min(34, start + int(rng.integers(4, 9))), int(rng.integers(11, 17))
            cells[top:-2, start:stop] = (22, 18, 26) if rng.random() < 0.5 else (40, 36, 46)
            start = stop
        assert light_over(np.clip(cells + rng.normal(0, 0.4, cells.shape), 0, 255)) is None


def test_cells_as_they_were_drawn_are_left_as_they_are():
    near = drawn()
    near[20, 10] += 4
    assert np.array_equal(cleaned(near), near)


def test_cells_that_drifted_by_noise_come_to_their_colour():
    noise = np.random.default_rng(3).normal(0, 2.0, (30, 24, 3))
    assert np.abs(cleaned(drawn() + noise) - drawn()).mean() < 0.5


def test_what_the_camera_cut_off_is_as_light_as_its_like_elsewhere():
    bright = falling(by=0.35)
    cells = np.minimum(drawn() * bright[..., None], 255)
    known = np.ones(cells.shape[:2], dtype=bool)
    light = light_over(cells)
    assert np.abs(light / bright - 1).max() < 0.02
    even = lifted(cells, light, known)
    page = (drawn() == COLOURS[0]).all(axis=2)
    assert (cells[page] == 255).any()
    assert np.ptp(even[page], axis=0).max() < 5
    assert np.ptp((cells / light[..., None])[page], axis=0).max() > 20
    # So it is where nothing is ruled.
    rgb, _, lit = cleaned_colours(cells, None)
    assert lit and np.ptp(rgb[page].astype(int), axis=0).max() < 5


def test_light_that_only_a_page_cut_off_shows_is_seen():
    bright = falling(by=0.3)
    page = np.minimum(np.array([300.0, 246.0, 225.0]) * bright[..., None], 255)
    assert np.abs(light_over(page) / bright - 1).max() < 0.02


def test_a_dark_drawing_that_drifts_by_a_level_lies_in_even_light():
    cells = np.full((16, 16, 3), 255.0)
    cells[2:14, 2:14] = np.round(np.linspace(17, 19, 12))[None, :, None]
    assert light_over(cells) is None


def test_a_chart_overexposed_to_one_side_has_its_page_in_one_colour():
    page = np.full((340, 400, 3), (252, 246, 235), dtype=np.float64)
    page[60:280, 60:340] = (90, 60, 120)
    page[100:180, 100:300] = (252, 246, 235)
    page[40:301:20, 40:361] = page[40:301, 40:361:20] = 60
    found = find_charts(np.clip(page * np.linspace(0.8, 1.25, 400)[:, None], 0, 255).astype(np.uint8))[0]
    assert found.rgb.shape == (13, 16, 3)
    on_page = np.zeros((13, 16), dtype=bool)
    on_page[[0, -1]] = on_page[:, [0, -1]] = True
    on_page[3:7, 3:13] = True
    assert np.ptp(found.rgb[on_page].astype(int), axis=0).max() <= 4
    assert np.abs(found.rgb[on_page].astype(int) - found.paper).max() <= 4


def patchwork(rows=20, columns=20):
    """Single cells of the four colours, no two alike side by side."""
    return COLOURS[(np.arange(rows)[:, None] + 2 * np.arange(columns)) % 4]


def test_light_on_a_patchwork_of_single_cells_is_found_from_its_like_near_by():
    light = light_over(patchwork() * 0.9 * falling(20, 20)[..., None])
    assert np.abs(light / falling(20, 20) - 1).max() < 0.01


def test_even_light_on_a_patchwork_is_none():
    assert light_over(patchwork() + np.random.default_rng(6).normal(0, 1.5, (20, 20, 3))) is None
