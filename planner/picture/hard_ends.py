"""Where a drawing ends on a page that it was laid on after a smooth filter had enlarged it.

Within such a drawing colours run into one another, also into a page drawn with it. At its own ends the filter has
nothing more to mix, so that its outermost lines are nearly alike; and there the page begins at once.
"""

from __future__ import annotations

import numpy as np

from planner.picture.channels import largest
from planner.picture.redraw import Picture

# Levels of 255 within which a line is all page, and from which a pixel is none.
_PAGE, _OFF = 2.0, 12.0
# The second line of what ends at once differs from the first by no more than this share of how far that is from the
# page; what runs into the page goes on by half as much again and more.
_ALIKE = 0.25


def hard_ends(picture: Picture) -> tuple[slice, slice] | None:
    """The rows and columns of pixels (of height × width × channels) within the sides where a drawing ends at once, up
    to the picture's edge on all others; None where it does on no side."""
    page: Picture = picture[0, 0]
    off = largest(np.abs(picture - page))
    rows, columns = (_within(picture, page, off, axis) for axis in (0, 1))
    whole = rows == slice(0, off.shape[0]) and columns == slice(0, off.shape[1])
    return None if whole else (rows, columns)


def _within(picture: Picture, page: Picture, off: Picture, axis: int) -> slice:
    length = off.shape[axis]
    drawn = np.flatnonzero(off.max(axis=1 - axis) > _PAGE)
    if len(drawn) < 4:
        return slice(0, length)
    first, last = int(drawn[0]), int(drawn[-1])
    start = first if first > 0 and _at_once(picture, page, off, axis, first, 1) else 0
    end = last + 1 if last < length - 1 and _at_once(picture, page, off, axis, last, -1) else length
    return slice(start, end)


def _at_once(picture: Picture, page: Picture, off: Picture, axis: int, at: int, inwards: int) -> bool:
    drawn = np.flatnonzero(np.take(off, at, axis=axis) > _OFF)
    if not len(drawn):
        return False
    lines = picture.swapaxes(0, axis)
    line, behind = lines[at][drawn], lines[at + inwards][drawn]
    away = np.abs(line - page).max(axis=1)
    return bool(np.median(np.abs(behind - line).max(axis=1) / away) <= _ALIKE)
