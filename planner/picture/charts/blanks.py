"""Charts whose lines are drawn round the filled cells only: where two blank cells meet no line is to be looked for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from planner.picture.channels import largest
from planner.picture.charts.frame import Frame
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Pieces, Sheet, sides_there

# Cells are blank that come within so many levels of 255 of the page's colour, uneven light included; or within the
# fewer, where a drawing is nearly as pale as the page.
_BLANK = (26.0, 8.0)
# Of the pieces between blank cells at most this share is there, of all others at least that, and those are so many.
_FEW, _MOST, _LEAST = 0.35, 0.7, 40
# So many cells around the frame, and so many of those that no line touches, tell what blank is.
_AROUND, _LEAST_OPEN = 2, 8
# How often a plane of light is fitted to so many of them or more, each time with those that it brought in.
_FITS, _FITTED = 5, 12


def blanks_left_out(sheet: Sheet, frame: Frame) -> Sheet | None:
    """The sheet with the pieces between blank cells left out of account; None where lines do not spare them in the
    ``frame`` that is seen as yet."""
    untouched = _untouched(sheet, frame)
    off = largest(np.abs(sheet.cells - in_light(sheet, _commonest(sheet, untouched), untouched)))
    for within in _BLANK:
        spared = _spared(sheet, frame, off <= within)
        if spared is not None:
            return spared
    return None


def _spared(sheet: Sheet, frame: Frame, blank: NDArray[np.bool_]) -> Sheet | None:
    upright, upright_blank = _left_out(sheet.upright, blank.T)
    level, level_blank = _left_out(sheet.level, blank)
    everywhere, around = np.zeros(2, dtype=np.int64), np.zeros(2, dtype=np.int64)
    spared_told = spared = 0
    rows, columns = (frame.top, frame.bottom), (frame.left, frame.right)
    for pieces, both, (first, stop), (start, end) in (
        (sheet.upright, upright_blank, columns, rows),
        (sheet.level, level_blank, rows, columns),
    ):
        told = pieces.told & ~both
        there = pieces.there & told
        wide = np.s_[max(0, first - _AROUND) : stop + _AROUND + 1, max(0, start - _AROUND) : end + _AROUND]
        everywhere += (told.sum(), there.sum())
        around += (told[wide].sum(), there[wide].sum())
        # Outside of the frame all is blank, and no line says whether it would be spared.
        cut = np.s_[first + 1 : stop, start:end]
        spared_told += int((pieces.told & both)[cut].sum())
        spared += int((pieces.there & pieces.told & both)[cut].sum())
    # A table beyond the page shows no lines, whatever its colour.
    drawn = any(there >= max(_LEAST, _MOST * told) for told, there in (everywhere, around))
    if not drawn or spared > _FEW * spared_told:
        return None
    return replace(sheet, upright=upright, level=level)


def _untouched(sheet: Sheet, frame: Frame) -> NDArray[np.bool_]:
    """Cells in and around the frame that no line touches."""
    place = np.s_[
        max(0, frame.top - _AROUND) : frame.bottom + _AROUND, max(0, frame.left - _AROUND) : frame.right + _AROUND
    ]
    found = np.zeros_like(sheet.inside)
    found[place] = (sheet.inside & (sides_there(sheet.upright, sheet.level) == 0))[place]
    return found


def _commonest(sheet: Sheet, untouched: NDArray[np.bool_]) -> Floats:
    """The colour of most of the cells that are ``untouched``, or of most cells at all where hardly any are."""
    seen = sheet.cells[untouched if untouched.sum() >= _LEAST_OPEN else sheet.inside]
    keys = (seen // 16).astype(np.int64) @ np.array([256, 16, 1])
    values, counts = np.unique(keys, return_counts=True)
    return np.asarray(np.median(seen[keys == values[np.argmax(counts)]], axis=0))


def in_light(sheet: Sheet, page: Floats, among: NDArray[np.bool_]) -> Floats:
    """The colour of a page all over the sheet, rows × columns × 3, in light that falls off evenly; the one colour where
    too few of the cells ``among`` which it is sought are of it."""
    rows, columns = sheet.inside.shape
    y, x = np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j]
    plane = np.stack([np.ones_like(x), x, y], axis=-1)
    for _ in range(_FITS):
        near = among & (largest(np.abs(sheet.cells - page)) <= _BLANK[0])
        if near.sum() < _FITTED:
            break
        page = plane @ np.linalg.lstsq(plane[near], sheet.cells[near].astype(np.float64), rcond=None)[0]
    return page


def _left_out(pieces: Pieces, blank: NDArray[np.bool_]) -> tuple[Pieces, NDArray[np.bool_]]:
    """Pieces with those between blank cells untold, and which those are; ``blank`` is cells across × along."""
    before = np.concatenate([blank[:1], blank])
    after = np.concatenate([blank, blank[-1:]])
    both = before & after
    return replace(pieces, there=pieces.there & ~both, told=pieces.told & ~both), both
