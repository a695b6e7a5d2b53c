"""The grids a picture may hold where none explains it to the last pixel: sought, drawn again and compared."""

from __future__ import annotations

from dataclasses import dataclass

from planner.picture.lossless import Axis
from planner.picture.redraw import BLURS, HARD, SMOOTH, Shape, Side
from planner.picture.sizes import Size, likely_sizes, sides, smaller
from planner.picture.working import Working

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
    values = working.values - working.values.mean(axis=(0, 1))
    down, across = sides(values)
    sizes = likely_sizes(down, across, False, _MOST_SIZES)
    if not sizes or sizes[0].stands_out < _BEYOND_DOUBT:
        sizes += likely_sizes(*sides(smaller(values)), True, _MOST_SIZES)
        sizes.sort(key=lambda size: -size.stands_out)
    found: list[Found] = []
    for size in sizes:
        if all((size.rows, size.columns) != (one.rows.count, one.columns.count) for one in found):
            found.append(_drawn(size, down, across))
    return found[:_MOST_SIZES]


def _drawn(size: Size, down: Side, across: Side) -> Found:
    rows = Axis(0.0, down.length / size.rows, size.rows)
    columns = Axis(0.0, across.length / size.columns, size.columns)
    return Found(rows, columns, best_shape(rows, columns, down, across), size.stands_out)


def best_shape(rows: Axis, columns: Axis, down: Side, across: Side) -> Shape:
    """The shape of cells that leaves least unexplained."""

    def left(shape: Shape) -> float:
        return down.left_by(rows, shape) + across.left_by(columns, shape)

    best = min(HARD + SMOOTH, key=left)
    blur = min(BLURS, key=left)
    return blur if left(blur) < _BLUR_LEAVES * left(best) else best
