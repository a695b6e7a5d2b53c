"""A frame set again by the cells that lines close in, where votes for whole rows mislead.

Where lines are drawn round the filled cells only, the outermost rows of a drawing hold a cell or two of many, such as
the tip of a heart; and numerals beside it speak for rows of which nothing is drawn.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.frame import Frame
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Pieces, Sheet, sides_there

Bounds = tuple[int, int, int, int]
Mask = NDArray[np.bool_]

# A cell is no page where it is off the page beside it by so many levels of 255, in some channel, and by this part of
# the page's own level more; the page is looked for within so many cells.
_OFF_PAGE, _FALL, _NEAR = 12.0, 0.05, 4
# Cells with two sides only must be off it by so many levels more: dark cells hide lines.
_FAR = 30.0
# Cells more uneven inside than so many levels, and than so many times what those of the frame are, hold a numeral or
# lie half beside the lines.
_LEAST_UNEVEN, _TIMES_UNEVEN = 4.0, 3.0
# So many sides of a cell show a line; or so many at the least, if of the others none is missing that could be told.
_SIDES, _LEAST_SIDES = 3, 2
# A line that is there along so much of its length ends a frame, whatever lies within it.
_A_LINE = 0.5
# Parts of a drawing lie this near to others, in cells, or have more cells than so many.
_APART, _SWATCHES = 2, 2


def reached(sheet: Sheet, frame: Frame) -> tuple[Bounds, bool]:
    """Top, bottom, left and right of the frame with all closed cells beyond it that touch others of the kind, at a side
    or a corner, all the way into the frame; of one that spares blank cells less what holds none. And whether it is
    plain: no cell or two by themselves may as well be a list of colours beside it."""
    closed = _closed(sheet, frame)
    bounds = frame.top, frame.bottom, frame.left, frame.right
    within = np.zeros_like(closed)
    inner = np.s_[frame.top : frame.bottom, frame.left : frame.right]
    within[inner] = closed[inner]
    plain = True
    if frame.spares_blanks:
        within = _large_parts(within, _APART)
        plain = _around(_large_parts(within, 1)) == _around(within)
        bounds = _without_blank_rows(sheet, within, bounds)
        within[: bounds[0]] = within[bounds[1] :] = within[:, : bounds[2]] = within[:, bounds[3] :] = False
    grown = joined(within, closed)
    if not grown.any():
        return bounds, plain
    top, bottom, left, right = _around(grown)
    return (min(bounds[0], top), max(bounds[1], bottom), min(bounds[2], left), max(bounds[3], right)), plain


def _around(cells: Mask) -> Bounds:
    """The rows and columns from the first to the last of some cells; none of none."""
    rows, columns = np.flatnonzero(cells.any(axis=1)), np.flatnonzero(cells.any(axis=0))
    if not len(rows):
        return 0, 0, 0, 0
    return int(rows[0]), int(rows[-1]) + 1, int(columns[0]), int(columns[-1]) + 1


def _closed(sheet: Sheet, frame: Frame) -> Mask:
    """Which cells have lines around them and are drawn: even inside, and beyond the frame off the page."""
    upright, level = (pieces.told & ~pieces.there for pieces in (sheet.upright, sheet.level))
    missing = upright[:-1].T | upright[1:].T | level[:-1] | level[1:]
    there = sides_there(sheet.upright, sheet.level)
    even = sheet.inside & (sheet.spread <= max(_LEAST_UNEVEN, _TIMES_UNEVEN * frame.spread))
    plainly, hardly = even & (there >= _SIDES), even & (there == _LEAST_SIDES) & ~missing
    beyond = plainly | hardly
    beyond[frame.top : frame.bottom, frame.left : frame.right] = False
    off = _off_page(sheet, sheet.inside & (there < _SIDES), beyond)
    return np.asarray(np.where(beyond, np.where(plainly, off > 0, off > _FAR), plainly | hardly))


def _off_page(sheet: Sheet, page: Mask, asked: Mask) -> Floats:
    """By how many levels more than a page may run the cells that are asked are off the cells of the page near them."""
    off = np.zeros(asked.shape)
    for row, column in np.argwhere(asked):
        near = np.s_[max(0, row - _NEAR) : row + _NEAR + 1, max(0, column - _NEAR) : column + _NEAR + 1]
        beside = sheet.cells[near][page[near]]
        if len(beside):
            colour = np.median(beside, axis=0)
            run = _OFF_PAGE + _FALL * float(colour.max())
            off[row, column] = np.abs(sheet.cells[row, column] - colour).max() - run
    return off


def _large_parts(closed: Mask, apart: int) -> Mask:
    """Without the closed cells that lie further ``apart`` from all others, in ones and twos, as those of a list of
    colours beside a chart do; all of them where there are no others."""
    left, large = closed.copy(), np.zeros_like(closed)
    while left.any():
        part = np.zeros_like(left)
        part[tuple(np.argwhere(left)[0])] = True
        part = joined(part, left, apart)
        left &= ~part
        if part.sum() > _SWATCHES:
            large |= part
    return large if large.any() else closed


def _without_blank_rows(sheet: Sheet, closed: Mask, bounds: Bounds) -> Bounds:
    """Less the rows and columns from each side that hold nothing closed and have no line on their far side."""
    top, bottom, left, right = bounds
    across, along = slice(left, right), slice(top, bottom)
    while bottom - top > 1 and not (closed[top, across].any() or _is_line(sheet.level, top, across)):
        top += 1
    while bottom - top > 1 and not (closed[bottom - 1, across].any() or _is_line(sheet.level, bottom, across)):
        bottom -= 1
    while right - left > 1 and not (closed[along, left].any() or _is_line(sheet.upright, left, along)):
        left += 1
    while right - left > 1 and not (closed[along, right - 1].any() or _is_line(sheet.upright, right, along)):
        right -= 1
    return top, bottom, left, right


def _is_line(pieces: Pieces, line: int, cells: slice) -> bool:
    return bool(pieces.there[line, cells].mean() >= _A_LINE)


def joined(within: Mask, closed: Mask, apart: int = 1) -> Mask:
    """The cells ``within`` and all closed ones that a walk from them over such cells, side or corner, or steps of so
    many cells, reaches."""
    while True:
        wider = within
        for _ in range(apart):
            wider = _and_beside(wider)
        wider = within | (wider & closed)
        if wider.sum() == within.sum():
            return within
        within = wider


def _and_beside(mask: Mask) -> Mask:
    """The cells of a mask and those that touch them."""
    tall = mask.copy()
    tall[1:] |= mask[:-1]
    tall[:-1] |= mask[1:]
    wide = tall.copy()
    wide[:, 1:] |= tall[:, :-1]
    wide[:, :-1] |= tall[:, 1:]
    return wide
