"""Rows and columns at a frame's sides that are page or table: votes alone may reach over them to what lies beyond.

The rim of a page, or the grain of the table it lies on, may look like a line or two of the ruling; but the rows between
show none of the lines that cross every row of a chart, where these would be seen, or go on as they do outside of it.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.channels import largest
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Pieces, Sheet

Bounds = tuple[int, int, int, int]
Mask = NDArray[np.bool_]

# Neighbouring cells with no line between them go on as one where they differ by no more than so many levels of 255.
_GOES_ON = 12.0
# A row is surroundings where so many of its cells are, and where it shows no more of the lines crossing it than this
# part of what the rows of the frame show in the middle.
_ALL, _FEW_LINES = 0.8, 0.4
# Pieces of line that stand out by less than this part of what most do.
_FAINT = 0.3
# Rows beyond are of the chart all the same where so many show the lines as the rows of the frame do: dark lines are not
# seen on dark cells, and a rim or the grain makes a line or two.
_RULED, _FEWEST_RULED = 0.8, 3
# So much of a frame, from each side, may be surroundings.
_MOST = 0.45


def without_surroundings(sheet: Sheet, bounds: Bounds) -> Bounds:
    """Top, bottom, left and right of a frame up to the outermost rows and columns of the chart."""
    outside = _joined_to_outside(sheet)
    top, bottom, left, right = bounds
    for _ in range(2):
        before = (top, bottom, left, right)
        top, bottom = _kept(sheet.upright, outside, (top, bottom), (left, right))
        left, right = _kept(sheet.level, outside.T, (left, right), (top, bottom))
        if before == (top, bottom, left, right):
            break
    return top, bottom, left, right


def _kept(crossing: Pieces, outside: Mask, rows: tuple[int, int], across: tuple[int, int]) -> tuple[int, int]:
    """The first and the last row, the last not included, of those that are not surroundings."""
    (first, stop), (start, end) = rows, across
    if stop - first < 4 or end - start < 4:
        return rows
    # Lines inside the frame × rows. What stands out by little, where lines do by much, is the grain of the table.
    there = crossing.there[start + 1 : end, first:stop]
    weight = crossing.weight[start + 1 : end, first:stop]
    if there.any():
        there = there & (weight >= _FAINT * float(np.median(weight[there])))
    missing = crossing.told[start : end + 1, first:stop] & ~crossing.there[start : end + 1, first:stop]
    blank = missing[:-1] & missing[1:]
    shown = there.mean(axis=0)
    around = (outside[first:stop, start:end].T | blank).mean(axis=0) >= _ALL
    usual = float(np.median(shown))
    none, ruled = around & (shown <= _FEW_LINES * usual), shown >= _RULED * usual
    most = int(_MOST * (stop - first))
    low, high = (
        np.flatnonzero(cut[:most] & (np.cumsum(lines[:most]) < _FEWEST_RULED))
        for cut, lines in ((none, ruled), (none[::-1], ruled[::-1]))
    )
    return first + (int(low[-1]) + 1 if len(low) else 0), stop - (int(high[-1]) + 1 if len(high) else 0)


def _joined_to_outside(sheet: Sheet) -> Mask:
    """The cells that a walk from outside of the picture reaches, over no line and no change of colour."""
    cells: Floats = sheet.cells
    reached = ~sheet.inside
    right = _open(sheet.inside, cells, sheet.upright.there[1:-1].T, axis=1)
    below = _open(sheet.inside, cells, sheet.level.there[1:-1], axis=0)
    reached[[0, -1]] = reached[:, [0, -1]] = True
    rows, columns = reached.shape
    while True:
        before = int(reached.sum())
        for row in range(1, rows):
            reached[row] |= reached[row - 1] & below[row - 1]
        for row in range(rows - 1, 0, -1):
            reached[row - 1] |= reached[row] & below[row - 1]
        for column in range(1, columns):
            reached[:, column] |= reached[:, column - 1] & right[:, column - 1]
        for column in range(columns - 1, 0, -1):
            reached[:, column - 1] |= reached[:, column] & right[:, column - 1]
        if int(reached.sum()) == before:
            return reached


def _open(inside: Mask, cells: Floats, lined: Mask, axis: int) -> Mask:
    """Whether a walk goes from each cell to the next along ``axis``."""
    near = largest(np.abs(np.diff(cells, axis=axis))) <= _GOES_ON
    both = inside[:, 1:] & inside[:, :-1] if axis else inside[1:] & inside[:-1]
    return np.asarray(near & both & ~lined)
