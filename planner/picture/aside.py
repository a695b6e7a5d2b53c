"""Which way of setting the background aside suits a grid, and in what words it is said."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.background import flat_background, page_background, running_background
from planner.picture.channels import largest
from planner.picture.grid import PictureGrid

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]
Bytes = NDArray[np.uint8]


# Colours read from a lossy or blurred picture are as near as this, in levels of 255, to what they were drawn in: the
# least, what each level left unexplained adds, and the most.
_AS_DRAWN, _MORE, _MOST = 4.0, 1.5, 10.0
# A page and cells of its colour are read in different ways, so that they may be so many levels apart.
_AS_PAGE = 8
RUNNING = "the running colours around the drawing set aside as background"
# Fewer rows or columns are no picture in a frame, and one with more than a few clear cells has another shape.
_LEAST_FRAMED, _NEARLY_ALL = 6, 0.97


def set_aside(
    rgb: Bytes,
    opaque: Mask | None,
    *,
    drift: float = 0.0,
    running: Floats | Bytes | None = None,
    around: Bytes | None = None,
) -> tuple[Mask, tuple[str, ...]]:
    """Which cells are filled, and what was done in words.

    ``opaque`` is None where no cell is clear; ``drift`` is by how many levels of 255 colours may have drifted, 0 where
    they are those of the file to the last bit. ``running`` are the colours before any cleaning, where a running ground
    is still to be seen; None to look for none. ``around`` is the colour of the page the grid lies on, where the page
    shows around it: cells of that colour at the grid's edge are the page.
    """
    if opaque is not None:
        return opaque, ("transparent cells set aside as background",)
    if around is not None:
        page = page_background(rgb, around, max(_AS_PAGE, round(drift)) if drift else 0)
        if page is not None:
            return ~page, ("the colour of the page around the drawing set aside as background",)
    background = flat_background(rgb, round(drift))
    smooth = None if running is None else running_background(running)
    if smooth is not None and (background is None or smooth.sum() > background.sum()):
        return ~smooth, (RUNNING,)
    if background is None:
        return np.ones(rgb.shape[:2], dtype=np.bool_), ()
    return ~background, ("the flat colour around the drawing set aside as background",)


def drift_of(left: float) -> float:
    """By how many levels colours may have drifted where a mean square of ``left`` stays unexplained."""
    return float(min(_MOST, _AS_DRAWN + _MORE * np.sqrt(left)))


def rectangle_in_frame(filled: Mask, cut_off: Mask) -> tuple[slice, slice] | None:
    """The rows and columns of a rectangle, all filled or nearly, with nothing filled around it; None where what is
    filled has another shape or reaches the edge all round. Of cells that are ``cut_off`` nobody knows."""
    seen, filled = filled & ~cut_off, filled | cut_off
    rows, columns = np.flatnonzero(seen.any(axis=1)), np.flatnonzero(seen.any(axis=0))
    if len(rows) < _LEAST_FRAMED or len(columns) < _LEAST_FRAMED:
        return None
    inner = slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)
    part = filled[inner]
    ring = part[0].all() and part[-1].all() and part[:, 0].all() and part[:, -1].all()
    if part.shape == filled.shape or not ring or part.mean() < _NEARLY_ALL:
        return None
    return inner


def within_fill(cells: Floats, filled: Mask, fill: Floats, cut_off: Mask) -> tuple[slice, slice] | None:
    """The rows and columns within those at the edge that wear, from end to end, the colour that fills the corners of a
    turned picture: these are the page it lay on. None where they are no rows that are ``filled``, or all there is."""
    page = (largest(np.abs(cells - fill)) <= _MOST) | cut_off
    rows, columns = np.flatnonzero(~page.all(axis=1)), np.flatnonzero(~page.all(axis=0))
    if len(rows) < _LEAST_FRAMED or len(columns) < _LEAST_FRAMED:
        return None
    inner = slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)
    outer = filled & ~cut_off
    outer[inner] = False
    return inner if outer.any() else None


def side_of_one_colour(grid: PictureGrid, drift: float) -> bool:
    """Whether a side of the grid is filled from end to end with one colour, give or take so many levels of 255: it may
    as well be of the page around the picture."""
    rgb = grid.rgb.astype(np.int16)
    for side in (np.s_[0], np.s_[-1], np.s_[:, 0], np.s_[:, -1]):
        line = rgb[side]
        if grid.filled[side].all() and np.abs(line - np.median(line, axis=0)).max() <= drift:
            return True
    return False
