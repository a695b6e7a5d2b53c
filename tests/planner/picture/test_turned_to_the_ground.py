"""A drawing that stands on the last row of its cells, turned with little of its page around it."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from tests.support.picture_files import saved

PAGE, HIDE, LEG, GRASS = (214, 236, 240), (120, 80, 50), (60, 40, 30), (60, 150, 70)


def meadow() -> np.ndarray:
    """A beast on grass that grows to both corners, 18 by 20 cells."""
    cells = np.full((18, 20, 3), PAGE, dtype=np.uint8)
    cells[4:10, 5:14], cells[10:-2, [6, 8, 12]], cells[4:8, 4] = HIDE, LEG, LEG
    cells[2:6, 13:17], cells[3, 16], cells[6:8, 8:11] = (140, 95, 60), (20, 20, 20), (230, 220, 200)
    cells[-1] = np.where(np.random.default_rng(1).random(20)[:, None] < 0.7, GRASS, PAGE)
    cells[-1, [0, -1]] = GRASS
    return cells


def turned(pitch: float, degrees: float, margin: float) -> Image.Image:
    """The meadow at so many pixels a cell, with room to be turned and so many cells of page."""
    high, wide = (round(side * pitch) for side in meadow().shape[:2])
    room = int(np.sin(np.radians(abs(degrees))) * 20 * pitch * 0.5) + 2 + int(margin * pitch)
    page = Image.new("RGB", (wide + 2 * room, high + 2 * room), PAGE)
    page.paste(Image.fromarray(meadow()).resize((wide, high), Image.Resampling.NEAREST), (room, room))
    return page.rotate(-degrees, Image.Resampling.BICUBIC, fillcolor=PAGE)


@pytest.mark.parametrize(
    ("pitch", "degrees", "margin"), [(6.5, 1.9, 0), (8, -1.4, 0), (8, 0.8, 0), (11, 1.9, 0), (17.89, -0.5, 0.4)]
)
def test_nothing_is_made_up_of_the_drawing_beyond_its_last_row(pitch, degrees, margin):
    drawn, filled = (meadow() != PAGE).any(axis=2), read_picture(saved(turned(pitch, degrees, margin))).grid.filled
    rows, columns = np.flatnonzero(filled.any(axis=1)), np.flatnonzero(filled.any(axis=0))
    read = filled[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    assert read.shape == drawn[2:].shape
    assert (read == drawn[2:]).mean() >= 0.99
