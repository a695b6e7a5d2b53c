"""Whether a drawing goes on beyond the frame of its ruling, where lines are too faint on its colours to be seen.

Whoever looks at such a chart sees colours of the drawing cut off at the frame, and beyond them the page.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.channels import largest
from planner.picture.charts.blanks import in_light
from planner.picture.charts.frame import Frame
from planner.picture.charts.reaching import Bounds, joined
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Sheet

Mask = NDArray[np.bool_]
Place = tuple[int | slice, int | slice]

# A cell is none of the page that is off it by so many levels of 255, in some channel, and by this part of its level
# more; and none of the drawing that is more uneven inside than so many levels, or so many times what those of the frame
# are.
_OFF_PAGE, _FALL = 14.0, 0.06
_LEAST_UNEVEN, _TIMES_UNEVEN = 8.0, 4.0
# Beside the frame a cell goes on that is so near to the one within, in levels; and so do others, so many at the least,
# that a drawing may be trimmed with. But where so much of a side comes within so many levels of one colour it is a
# table.
_STEP, _SIDE, _ONE_COLOUR, _LEAST = 10.0, 0.8, 24.0, 2
# The page on one side of the frame is in light up to so many levels off that on another.
_LIT = 40.0


def going_on(sheet: Sheet, frame: Frame) -> Bounds | None:
    """Top, bottom, left and right of the drawing that goes on beyond the frame, and of the frame itself where there is
    no telling how far; None where nothing goes on."""
    sides = _sides(sheet, frame)
    if not sides:
        return None
    page = _page_beside(sheet, sides)
    off = largest(np.abs(sheet.cells - page)) > _OFF_PAGE + _FALL * page.max(axis=-1)
    even = sheet.spread <= max(_LEAST_UNEVEN, _TIMES_UNEVEN * frame.spread)
    beyond = sheet.inside & off & even
    beyond[frame.top : frame.bottom, frame.left : frame.right] = False
    first, near = _beside(sheet, sides, beyond)
    if not near.any() and first.sum() < _LEAST:
        return None
    region = joined(first, beyond)
    outside = ~sheet.inside
    outside[[0, -1]] = outside[:, [0, -1]] = True
    if (joined(region, outside) & outside).any():
        return frame.top, frame.bottom, frame.left, frame.right
    rows, columns = np.flatnonzero(region.any(axis=1)), np.flatnonzero(region.any(axis=0))
    return (
        min(frame.top, int(rows[0])),
        max(frame.bottom, int(rows[-1]) + 1),
        min(frame.left, int(columns[0])),
        max(frame.right, int(columns[-1]) + 1),
    )


def _sides(sheet: Sheet, frame: Frame) -> list[tuple[Place, Place]]:
    """The cells just outside of each side of the frame that lies within the sheet, and those just inside."""
    rows, columns = sheet.inside.shape
    across, along = slice(frame.left, frame.right), slice(frame.top, frame.bottom)
    sides: list[tuple[Place, Place, bool]] = [
        ((frame.top - 1, across), (frame.top, across), frame.top > 0),
        ((frame.bottom, across), (frame.bottom - 1, across), frame.bottom < rows),
        ((along, frame.left - 1), (along, frame.left), frame.left > 0),
        ((along, frame.right), (along, frame.right - 1), frame.right < columns),
    ]
    return [(outer, inner) for outer, inner, there in sides if there and sheet.inside[outer].any()]


def _page_beside(sheet: Sheet, sides: list[tuple[Place, Place]]) -> Floats:
    """The colour of the page under the sheet, by what lies just outside of the frame on most sides. Further out there
    may be more of a table, and on one side more of the drawing."""
    around = np.zeros_like(sheet.inside)
    for outer, _ in sides:
        around[outer] = sheet.inside[outer]
    middles = np.array([np.median(sheet.cells[outer][sheet.inside[outer]], axis=0) for outer, _ in sides])
    near = largest(np.abs(middles[:, None] - middles[None])) <= _LIT
    return in_light(sheet, np.median(middles[near[near.sum(axis=1).argmax()]], axis=0), around)


def _beside(sheet: Sheet, sides: list[tuple[Place, Place]], beyond: Mask) -> tuple[Mask, Mask]:
    """The cells just outside of the frame with which its drawing goes on, and those of them that are of nearly the
    colour of the cell within."""
    found, same = np.zeros_like(beyond), np.zeros_like(beyond)
    for outer, inner in sides:
        colours = sheet.cells[outer]
        alike = largest(np.abs(colours - np.median(colours, axis=0))) <= _ONE_COLOUR
        table = (alike & beyond[outer]).mean() >= _SIDE
        near = largest(np.abs(colours - sheet.cells[inner])) <= _STEP
        found[outer] = beyond[outer] & (near | (not table))
        same[outer] = beyond[outer] & near
    return found, same
