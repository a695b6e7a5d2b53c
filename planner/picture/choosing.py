"""The grids a picture may hold where none explains it to the last pixel: sought, drawn again and compared."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image

from planner.picture.lossless import Axis
from planner.picture.redraw import BLURS, HARD, SMOOTH, Picture, Shape, Side
from planner.picture.sizes import Size, likely_sizes, sides, smaller
from planner.picture.tilt import degrees_turned, turned_back
from planner.picture.working import LONGEST, Working

# Where boxes stand out by so much, tents need not be looked for. Settled by trial on the development set.
_BEYOND_DOUBT = 1.3
_MOST_SIZES = 6
# A blur explains much by being able to; it is believed only where it leaves this share of what anything else leaves.
_BLUR_LEAVES = 0.35


@dataclass(frozen=True, slots=True)
class Found:
    """One grid: its axes in pixels of the working copy, the shape of its cells, how far its size stands out."""

    rows: Axis
    columns: Axis
    shape: Shape
    stands_out: float


def upright_grids(working: Working) -> list[Found]:
    """Grids whose cells fill the whole picture, best first."""
    return _filling(working.values)


def turned_grids(image: Image.Image, working: Working) -> list[tuple[Found, Working]]:
    """Grids that stand a little turned, best first, each with its upright copy."""
    degrees = degrees_turned(working.values)
    if not degrees:
        return []
    width, height = image.size
    scale = min(1.0, LONGEST / max(width, height))
    c, s = np.cos(np.radians(abs(degrees))), np.sin(np.radians(abs(degrees)))
    # Turned by a program, a picture keeps its size and loses its corners, or is given the room that they need.
    kept = (width * c - height * s) / (c * c - s * s), (height * c - width * s) / (c * c - s * s)
    found: list[tuple[Found, Working]] = []
    for size in ((float(width), float(height)), kept):
        values, place = turned_back(image, degrees, size, scale)
        copy = Working(values, 1 / scale, 1 / scale, place)
        found += [(one, copy) for one in _filling(values)]
    return sorted(found, key=lambda pair: -pair[0].stands_out)[:_MOST_SIZES]


def _filling(picture: Picture) -> list[Found]:
    values = picture - picture.mean(axis=(0, 1))
    down, across = sides(values)
    sizes = likely_sizes(down, across, False, _MOST_SIZES)
    if not sizes or sizes[0].stands_out < _BEYOND_DOUBT:
        sizes += likely_sizes(*sides(smaller(values)), True, _MOST_SIZES)
        sizes.sort(key=lambda size: -size.stands_out)
    return _drawn(sizes, down, across)


def _drawn(sizes: list[Size], down: Side, across: Side) -> list[Found]:
    """The sizes as grids, all in the shape that suits the first."""
    found: list[Found] = []
    shape = HARD[0]
    for size in sizes:
        rows = Axis(0.0, down.length / size.rows, size.rows)
        columns = Axis(0.0, across.length / size.columns, size.columns)
        if not found:
            shape = best_shape(rows, columns, down, across)
        if all((size.rows, size.columns) != (one.rows.count, one.columns.count) for one in found):
            found.append(Found(rows, columns, shape, size.stands_out))
    return found[:_MOST_SIZES]


def best_shape(rows: Axis, columns: Axis, down: Side, across: Side) -> Shape:
    """The shape of cells that leaves least unexplained."""

    def left(shape: Shape) -> float:
        return down.left_by(rows, shape) + across.left_by(columns, shape)

    kinds = {shape: left(shape) for shape in (HARD[0], HARD[2], SMOOTH[0], SMOOTH[1])}
    likely = min(kinds, key=lambda shape: kinds[shape])
    for shape in HARD if likely in HARD else SMOOTH:
        if shape not in kinds:
            kinds[shape] = left(shape)
    best = min(kinds, key=lambda shape: kinds[shape])
    if likely in HARD:
        return best
    blur = min(BLURS, key=left)
    return blur if left(blur) < _BLUR_LEAVES * kinds[best] else best
