"""Left and right that are nearly alike, with the cells that break it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from planner.mending.hint import OUTSIDE, Cells, Hint, Lay, Mask, Mend, Names, cells_where, numbers_of, wood_of
from planner.mending.loose import neighbours
from planner.pattern import Pattern

# Nearly alike: at least so much of what is not ground agrees, and so many pairs are looked at (common practice, no
# source).
NEARLY = 0.9
FEWEST_PAIRS = 8


@dataclass(frozen=True, slots=True)
class Axis:
    """Columns l and r mirror each other where l + r is ``total``: even for a column, odd for a line between two.
    ``agreeing`` of ``pairs`` are alike; pairs where both are ground are not counted."""

    total: int
    pairs: int
    agreeing: int

    @property
    def share(self) -> float:
        return self.agreeing / self.pairs if self.pairs else 0.0

    @property
    def words(self) -> str:
        """
        >>> Axis(8, 1, 1).words, Axis(7, 1, 1).words
        ('column 5', 'the line between columns 4 and 5')
        """
        middle = self.total // 2
        if self.total % 2 == 0:
            return f"column {middle + 1}"
        return f"the line between columns {middle + 1} and {middle + 2}"


def near_symmetry(pattern: Pattern, names: Names) -> list[Hint]:
    """One hint when the sides are nearly alike about the best line, none when they are alike or not at all."""
    cells = numbers_of(pattern)
    axis = best_axis(cells)
    if axis is None or axis.share < NEARLY or axis.agreeing == axis.pairs:
        return []
    broken = _broken(cells, axis.total)
    differ = axis.pairs - axis.agreeing
    return [
        Hint(
            "symmetry",
            f"Left and right are nearly alike about {axis.words}: {differ} of {axis.pairs} pairs of tiles differ.",
            cells_where(broken),
            Mend(
                "Lay both sides alike, each pair as the one that goes with its neighbours",
                _alike(pattern, cells, broken, axis.total),
            ),
        )
    ]


def ground_of(cells: Cells) -> int:
    """What the picture lies on: what more than half of the rim is of, else OUTSIDE for nothing."""
    rim = np.concatenate([cells[0], cells[-1], cells[1:-1, 0], cells[1:-1, -1]])
    values, counts = np.unique(rim, return_counts=True)
    best = int(counts.argmax())
    return int(values[best]) if 2 * int(counts[best]) > rim.size else OUTSIDE


def best_axis(cells: Cells) -> Axis | None:
    """The line the sides are most alike about; of equals the one nearest the middle, then the left one."""
    width = cells.shape[1]
    axes = [axis for axis in (_agreement(cells, total) for total in range(1, 2 * width - 2)) if axis.pairs]
    axes = [axis for axis in axes if axis.pairs >= FEWEST_PAIRS]
    return max(axes, key=lambda axis: (axis.share, -abs(axis.total - (width - 1)), -axis.total), default=None)


def _sides(cells: Cells, total: int) -> tuple[Cells, Cells]:
    """The left side and the right side mirrored onto it, column by column from the middle outwards; beyond the edge
    lies ground."""
    width = cells.shape[1]
    first = (total - 1) // 2
    reach = max(first + 1, width - (total - first))
    ground = ground_of(cells)
    left = np.full((cells.shape[0], reach), ground, dtype=cells.dtype)
    right = left.copy()
    left[:, : first + 1] = cells[:, first::-1]
    rest = cells[:, total - first :]
    right[:, : rest.shape[1]] = rest
    return left, right


def _agreement(cells: Cells, total: int) -> Axis:
    left, right = _sides(cells, total)
    ground = ground_of(cells)
    counts = (left != ground) | (right != ground)
    return Axis(total, int(counts.sum()), int((counts & (left == right)).sum()))


def _broken(cells: Cells, total: int) -> Mask:
    """Cells that differ from the one across the line; one with nothing across differs when it is not ground."""
    width = cells.shape[1]
    across = np.full(cells.shape, ground_of(cells), dtype=cells.dtype)
    columns = np.arange(width)
    mirrored = total - columns
    inside = (mirrored >= 0) & (mirrored < width)
    across[:, inside] = cells[:, mirrored[inside]]
    broken: Mask = across != cells
    return broken


def _alike(pattern: Pattern, cells: Cells, broken: Mask, total: int) -> tuple[Lay, ...]:
    """For every pair that differs, the one that has fewer of its own around it laid as the other; of equals the
    right one. What has nothing across is laid as ground."""
    width = cells.shape[1]
    own = (neighbours(cells) == cells).sum(axis=0)
    ground = ground_of(cells)
    lay = []
    for row, column in cells_where(broken):
        other = total - column
        if not 0 <= other < width:
            lay.append(Lay(row, column, wood_of(pattern, ground)))
        elif column < other:
            keep, change = (column, other) if own[row, column] >= own[row, other] else (other, column)
            lay.append(Lay(row, change, wood_of(pattern, int(cells[row, keep]))))
    return tuple(lay)
