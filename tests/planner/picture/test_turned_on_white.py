"""What a program fills the corners of a turned picture with does not hide how far it was turned."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from planner.picture import read_picture
from tests.support.picture_files import saved

GROUND, INK = (60, 20, 70), (24, 24, 34)
SOFA = """
........................
........................
........................
.....##############.....
.....##############.....
...##......##......##...
...##......##......##...
...##......##......##...
.####......##......####.
.####......##......####.
.##..##....##....##..##.
.##..##....##....##..##.
.##....##########....##.
.##....##########....##.
.##..................##.
.##..................##.
.##..................##.
...##################...
...##################...
...##..............##...
...##..............##...
........................
........................
........................
"""


def sofa(size: int) -> Image.Image:
    drawn = np.array([[cell == "#" for cell in row] for row in SOFA.split()])
    cells = np.where(drawn[..., None], INK, GROUND).astype(np.uint8)
    return Image.fromarray(cells.repeat(size, axis=0).repeat(size, axis=1))


@pytest.mark.parametrize("degrees", [-0.5, 0.7, 1.4])
def test_a_dark_drawing_turned_on_white_is_turned_back_by_its_own_edges(degrees):
    turned = sofa(24).rotate(-degrees, Image.Resampling.BICUBIC, fillcolor=(255, 255, 255))
    reading = read_picture(saved(turned))
    assert reading.kind == "turned" and abs(reading.turn - degrees) < 0.15
    assert reading.grid.filled.shape in ((24, 24), (12, 12))
