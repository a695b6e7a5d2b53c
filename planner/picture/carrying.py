"""A grid with rows and columns more or fewer at its sides: what was read stays as it was read.

Read afresh, every cell would have the colour of its middle once more, with all the light, noise and blur that the
reading took out of it.
"""

from __future__ import annotations

import numpy as np

from planner.picture.aside import Bytes, drift_of, set_aside
from planner.picture.channels import largest
from planner.picture.grid import PictureGrid, Sides

# A new cell takes the colour of others where none of its channels is further from it, in levels of 255.
_AS_OTHERS = 12
# Of a grid of many colours the commonest only are asked.
_MOST_ASKED = 256


def carried(grid: PictureGrid, sides: Sides, fresh: PictureGrid | None, *, look_again: bool = True) -> PictureGrid:
    """The grid with its ``sides`` moved: cells it had keep colour and background; new ones, if any, are those of
    ``fresh``, the same place read from the picture, in a colour the grid has where one is as near as makes no matter.
    Where what is left has no background at all, one is sought again, unless not to ``look_again``.

    >>> grid = PictureGrid(np.zeros((3, 3, 3), dtype=np.uint8), np.ones((3, 3), dtype=bool))
    >>> carried(grid, Sides(top=-1, right=-1), None, look_again=False).filled.shape
    (2, 2)
    """
    rows, columns = grid.rows + sides.top + sides.bottom, grid.columns + sides.left + sides.right
    rgb, filled = np.zeros((rows, columns, 3), dtype=np.uint8), np.ones((rows, columns), dtype=np.bool_)
    was = np.zeros((rows, columns), dtype=np.bool_)
    down, across = _span(sides.top, grid.rows, rows), _span(sides.left, grid.columns, columns)
    of = _back(down, sides.top), _back(across, sides.left)
    rgb[down, across], filled[down, across], was[down, across] = grid.rgb[of], grid.filled[of], True
    if fresh is not None:
        rgb[~was], filled[~was] = _worn(fresh.rgb[~was], grid), fresh.filled[~was]
    if look_again and filled[was].all():
        filled &= set_aside(rgb, None, drift=drift_of(0.0), running=rgb)[0]
    return PictureGrid(rgb, filled)


def _span(more: int, old: int, new: int) -> slice:
    return slice(max(0, more), max(0, min(new, old + more), max(0, more)))


def _back(part: slice, more: int) -> slice:
    return slice(part.start - more, part.stop - more)


def _worn(colours: Bytes, grid: PictureGrid) -> Bytes:
    known, counts = np.unique(grid.rgb.reshape(-1, 3), axis=0, return_counts=True)
    known = known[np.argsort(-counts, kind="stable")[:_MOST_ASKED]].astype(np.int16)
    apart = largest(np.abs(colours.astype(np.int16)[:, None] - known[None]))
    nearest = apart.argmin(axis=1)
    near = apart[np.arange(len(colours)), nearest] <= _AS_OTHERS
    return np.where(near[:, None], known[nearest], colours).astype(np.uint8)
