"""Through a camera's curve colours are known where they lie near a straight line, and not where they do not."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from planner.picture.curve import SET_TO_PAPER, may_be_bent
from tests.support.picture_files import saved

PAGE, RED, GREEN = (250, 246, 238), (190, 70, 60), (110, 160, 90)
YELLOW, LEAF, BARK, INK = (250, 200, 60), (20, 90, 30), (90, 50, 30), (10, 10, 10)
# Much that is black, and hues from dark to light.
HARD = (4, 4, 4), (4, 4, 4), (30, 30, 30), (130, 130, 130), (128, 20, 10), (250, 250, 20)


def figure(*colours: tuple[int, int, int]) -> np.ndarray:
    """Patches of each colour in a ring of page."""
    cells = np.full((16, 4 + 4 * len(colours), 3), PAGE, dtype=np.uint8)
    for at, colour in enumerate(colours):
        cells[3 + at : 13, 2 + 4 * at : 6 + 4 * at] = colour
    return cells


def lit(cells: np.ndarray, by: float) -> bytes:
    """Drawn up, in light that falls from left to right by a part of it, with noise."""
    large = cells.repeat(14, axis=0).repeat(14, axis=1).astype(float)
    light = 1 - by * np.linspace(0, 1, large.shape[1])[None, :, None]
    noise = np.random.default_rng(4).normal(0, 3, large.shape)
    return saved(Image.fromarray(np.clip(large * light + noise, 0, 255).astype(np.uint8)))


@pytest.mark.parametrize("power", [3 / 4, 4 / 3])
def test_two_colours_lie_on_a_straight_line_whatever_bent_them(power):
    cells = figure(RED, GREEN)
    bent = np.rint(255 * (cells / 255) ** power).astype(np.uint8)
    filled = (cells != PAGE).any(axis=2)
    assert not may_be_bent(cells, filled) and not may_be_bent(bent, filled)


def test_light_and_dark_with_others_in_between_do_not():
    cells = figure(YELLOW, LEAF, BARK, INK)
    assert may_be_bent(cells, (cells != PAGE).any(axis=2))


def test_nothing_filled_is_not_bent():
    assert not may_be_bent(figure(RED), np.zeros((16, 8), dtype=bool))


def test_only_where_light_was_uneven_a_curve_makes_colours_unsure():
    plain, hard = figure(RED, GREEN), figure(*HARD)
    assert read_picture(lit(plain, 0.25)).sure
    assert not read_picture(lit(hard, 0.25)).sure
    assert read_picture(lit(hard, 0.0)).sure


def test_a_slight_curve_shows_only_where_much_is_black_and_hues_reach_from_dark_to_light():
    hard = figure(*HARD)
    easy = figure(YELLOW, LEAF, BARK, INK)
    for cells, shows in ((hard, True), (easy, False)):
        assert may_be_bent(cells, (cells != PAGE).any(axis=2), SET_TO_PAPER) is shows
