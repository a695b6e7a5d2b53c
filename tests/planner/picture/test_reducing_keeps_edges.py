"""Reduced pictures stay readable: measured on drawn scenes against the plain mean of each tile in as many colours.

*Kept*: wherever the scene, seen at eight samples a tile, has an edge of CIEDE2000 8 or more, the share of its strength
that a side of the tile there still shows, weighed by that strength up to 30. *Made up*: sides of tiles, with nothing
drawn within a tile of them, that show an edge all the same.
"""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from planner.picture.colour import ciede2000, oklab_to_srgb, srgb_to_lab, srgb_to_oklab
from planner.picture.palette import few_colours, nearest
from planner.picture.reduction import reduce_picture
from tests.support.picture_files import saved

SIDE = 960


def heron(draw: ImageDraw.ImageDraw) -> None:
    draw.rectangle([0, 620, 959, 959], (70, 120, 140))
    draw.ellipse([300, 330, 690, 620], (110, 125, 150))
    draw.polygon([(620, 400), (760, 160), (800, 180), (690, 460)], (215, 218, 222))
    draw.ellipse([735, 115, 835, 205], (215, 218, 222))
    draw.polygon([(825, 140), (945, 175), (825, 180)], (225, 150, 50))
    draw.ellipse([786, 142, 804, 160], (20, 20, 24))
    draw.line([(740, 130), (650, 110)], (20, 20, 24), 10)
    for x in (450, 520):
        draw.line([(x, 600), (x - 12, 860)], (60, 50, 40), 13)
    draw.polygon([(320, 420), (640, 440), (200, 640)], (60, 70, 95))


def lantern(draw: ImageDraw.ImageDraw) -> None:
    draw.rectangle([0, 0, 959, 959], (30, 36, 60))
    draw.arc([380, 60, 580, 300], 180, 360, (190, 150, 80), 14)
    draw.polygon([(340, 260), (620, 260), (580, 180), (380, 180)], (150, 110, 50))
    draw.rectangle([350, 260, 610, 700], (250, 215, 120))
    for x in (350, 434, 520, 604):
        draw.rectangle([x, 260, x + 9, 700], (90, 60, 30))
    draw.ellipse([450, 420, 510, 560], (255, 250, 230))
    draw.ellipse([468, 470, 492, 540], (230, 110, 40))
    draw.rectangle([310, 700, 650, 760], (150, 110, 50))


def boat(draw: ImageDraw.ImageDraw) -> None:
    draw.rectangle([0, 0, 959, 520], (200, 220, 230))
    draw.rectangle([0, 520, 959, 959], (60, 110, 130))
    draw.polygon([(180, 560), (800, 560), (700, 720), (280, 720)], (150, 50, 40))
    draw.line([(170, 560), (810, 560)], (240, 230, 210), 18)
    draw.line([(480, 120), (480, 560)], (70, 50, 35), 16)
    draw.polygon([(500, 140), (740, 520), (500, 520)], (245, 240, 225))
    draw.line([(500, 330), (630, 345)], (200, 60, 50), 10)
    for k in range(7):
        draw.line([(60 + 130 * k, 800 + 9 * k), (120 + 130 * k, 800 + 9 * k)], (180, 210, 220), 9)


SCENES = {scene.__name__: scene for scene in (heron, lantern, boat)}


def drawn(name: str) -> Image.Image:
    image = Image.new("RGB", (SIDE, SIDE), (238, 235, 226))
    SCENES[name](ImageDraw.Draw(image))
    return image


def plain_means(image: Image.Image, cells: int, colours: int) -> np.ndarray:
    means = srgb_to_oklab(np.asarray(image.resize((cells, cells), Image.Resampling.BOX)))
    centres = few_colours(means.reshape(-1, 3), colours)
    return np.rint(oklab_to_srgb(centres[nearest(means, centres)])).astype(np.uint8)


def sides(rgb: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    lab = srgb_to_lab(rgb)
    return ciede2000(lab[:, 1:], lab[:, :-1]), ciede2000(lab[1:], lab[:-1])


def edges_of(image: Image.Image, cells: int) -> tuple[np.ndarray, np.ndarray]:
    """What differs side by side in the scene, seen at eight pixels a cell."""
    return sides(np.asarray(image.resize((8 * cells, 8 * cells), Image.Resampling.NEAREST)))


def kept_and_made_up(drawn_sides: tuple[np.ndarray, np.ndarray], rgb: np.ndarray) -> tuple[float, int]:
    cells = len(rgb)
    across, down = sides(rgb)
    # The strongest side among those of a tile, and whether anything at all is drawn within a tile of it.
    strongest = np.zeros((cells, cells))
    for shown, axis in ((across, 1), (down, 0)):
        pad = [(0, 0), (0, 0)]
        pad[axis] = (1, 1)
        wide = np.pad(shown, pad)
        strongest = np.maximum(
            strongest, np.maximum(np.take(wide, range(cells), axis), np.take(wide, range(1, cells + 1), axis))
        )
    weights = kept = 0.0
    busy = np.zeros((cells, cells), dtype=bool)
    for axis in (0, 1):
        edges = drawn_sides[1 - axis]
        for at in np.argwhere(edges >= 8):
            row, column = at // 8
            strength = edges[tuple(at)]
            weights += min(strength, 30)
            kept += min(strength, 30) * min(1.0, strongest[row, column] / strength)
            busy[max(0, row - 1) : row + 2, max(0, column - 1) : column + 2] = True
    quiet = ~busy
    false = [
        (shown >= 8)[calm].sum()
        for shown, calm in ((across, quiet[:, 1:] & quiet[:, :-1]), (down, quiet[1:] & quiet[:-1]))
    ]
    return kept / weights, sum(false) / max(1, int(quiet.sum()))


@pytest.mark.parametrize("cells", [24, 32, 48])
@pytest.mark.parametrize("name", SCENES)
def test_more_of_every_edge_is_kept_than_by_plain_means_and_none_is_made_up(name, cells):
    image = drawn(name)
    grid = reduce_picture(saved(image), None, cells, cells, 8)
    edges = edges_of(image, cells)
    kept, made_up = kept_and_made_up(edges, grid.rgb)
    plain, _ = kept_and_made_up(edges, plain_means(image, cells, 8))
    assert kept >= 0.93 and kept >= plain + 0.2
    assert made_up == 0
