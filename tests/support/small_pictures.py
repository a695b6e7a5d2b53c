"""Small pictures by their colours, and a plain reckoning of what woods keep of them, as the planner's oracle."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
from PIL import Image

from planner.picture.colour import ciede2000, srgb_to_lab
from planner.woods import WOODS

BOARD_WOODS = {name: WOODS[name].finished_rgb for name in ("sycamore", "beech", "sapele", "walnut-black", "padauk")}
MAPLE = WOODS["maple-hard"].finished_rgb
FACES = sorted((Path(__file__).parents[1] / "pictures").glob("face-*.png"))


def by_colour(path: Path) -> tuple[np.ndarray, list[tuple[int, int, int]]]:
    """Rows × columns of colour indices, -1 where nothing is drawn, and the colours."""
    pixels = np.asarray(Image.open(path).convert("RGBA"))
    drawn = pixels[..., 3] >= 128
    colours, which = np.unique(pixels[drawn][:, :3], axis=0, return_inverse=True)
    cells = np.full(drawn.shape, -1, dtype=np.int64)
    cells[drawn] = which.ravel()
    return cells, [tuple(colour) for colour in colours.tolist()]


def random_picture(seed: int, colours: int, side: int = 6) -> tuple[np.ndarray, list[tuple[int, int, int]]]:
    draw = np.random.default_rng(seed)
    cells = draw.integers(-1, colours, (side, side)).repeat(2, axis=0)
    return cells, [tuple(colour) for colour in draw.integers(0, 256, (colours, 3)).tolist()]


def sides_of(cells: np.ndarray) -> Iterator[tuple[int, int]]:
    """Every side of every cell once, with the colours on both hands, -1 for the background and beyond the grid."""
    rows, columns = cells.shape
    for r in range(-1, rows):
        for c in range(-1, columns):
            here = int(cells[r, c]) if r >= 0 and c >= 0 else -1
            if r >= 0:
                yield here, int(cells[r, c + 1]) if c + 1 < columns else -1
            if c >= 0:
                yield here, int(cells[r + 1, c]) if r + 1 < rows else -1


@cache
def apart(one, other) -> float:
    return float(ciede2000(srgb_to_lab(one), srgb_to_lab(other)))


@cache
def lightness(rgb) -> float:
    return float(srgb_to_lab(rgb)[0])


@cache
def chroma(rgb) -> float:
    return math.hypot(*srgb_to_lab(rgb)[1:])


def plain_scores(cells, colours, woods, wood_of, background=None) -> tuple[float, float, float, float]:
    """Legibility, order, false edges and distance, side by side and cell by cell as they are defined."""
    strength = kept = 0.0
    steps = in_order = flat = made_up = 0
    for a, b in sides_of(cells):
        if a < 0 and b < 0:
            continue
        if a < 0 or b < 0:
            if background is not None:
                strength += 30
                kept += 30 * min(1, apart(woods[wood_of[max(a, b)]], background) / 12)
            continue
        drawn = apart(colours[a], colours[b])
        in_wood = apart(woods[wood_of[a]], woods[wood_of[b]])
        if drawn < 8:
            flat += 1
            made_up += in_wood >= 8
            continue
        strength += min(drawn, 30)
        kept += min(drawn, 30) * min(1, in_wood / min(drawn, 12))
        step = lightness(colours[a]) - lightness(colours[b])
        if abs(step) > 8:
            steps += 1
            in_order += step * (lightness(woods[wood_of[a]]) - lightness(woods[wood_of[b]])) > 0
    worn = [int(c) for c in cells.ravel() if c >= 0]
    distance = sum(apart(colours[c], woods[wood_of[c]]) for c in worn) / len(worn)
    return (
        kept / strength if strength else 1.0,
        in_order / steps if steps else 1.0,
        made_up / flat if flat else 0.0,
        distance,
    )


def plain_cost(cells, colours, woods, wood_of, price, background=None) -> float:
    """What ``planner.matching`` makes least, side by side: its measure of shapes is its own."""
    worn = [int(c) for c in cells.ravel() if c >= 0]
    distance = sum(apart(colours[c], woods[wood_of[c]]) for c in worn) / len(worn)
    edges = lost = 0.0
    every = 0
    for a, b in sides_of(cells):
        if a < 0 and b < 0:
            continue
        every += 1
        if a < 0 or b < 0:
            if background is not None:
                edges += 1
                lost += 30 * (1 - min(1, apart(woods[wood_of[max(a, b)]], background) / 12))
            continue
        drawn = apart(colours[a], colours[b])
        wood_a, wood_b = woods[wood_of[a]], woods[wood_of[b]]
        in_wood = apart(wood_a, wood_b)
        louder = chroma(wood_a) - chroma(wood_b)
        drawn_louder = math.copysign(1, louder) * (chroma(colours[a]) - chroma(colours[b]))
        lost += 0.5 * max(0.0, abs(louder) - drawn_louder - 15) if louder else 0.0
        if drawn < 8:
            lost += 0.4 * max(0.0, min(in_wood, 30) - 8)
            continue
        weight = min(drawn, 30)
        edges += weight / 30
        lost += weight * (1 - min(1, in_wood / min(drawn, 12)))
        step = lightness(colours[a]) - lightness(colours[b])
        if abs(step) > 8:
            turned = (lightness(wood_b) - lightness(wood_a)) * math.copysign(1, step)
            lost += 0.7 * weight * min(1, max(0, turned / 8))
    return distance + price * 100 * lost / (30 * max(edges, 0.05 * every, 1))
