"""Charts whose lines are drawn round the filled cells only: where two blank cells meet no line is to be looked for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from planner.picture.channels import largest
from planner.picture.charts.frame import Frame
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Pieces, Sheet

# Cells are blank that come within so many levels of 255 of the commonest colour, uneven light included.
_BLANK = 26.0
# Of the pieces between blank cells at most this share is there, of all others at least that, and those are so many.
_FEW, _MOST, _LEAST = 0.35, 0.7, 40


def blanks_left_out(sheet: Sheet, frame: Frame) -> Sheet | None:
    """The sheet with the pieces between blank cells left out of account; None where lines do not spare them in the
    ``frame`` that is seen as yet."""
    blank = largest(np.abs(sheet.cells - _commonest(sheet))) <= _BLANK
    upright, upright_blank = _left_out(sheet.upright, blank.T)
    level, level_blank = _left_out(sheet.level, blank)
    told = there = 0
    spared_told = spared = 0
    rows, columns = (frame.top, frame.bottom), (frame.left, frame.right)
    for pieces, both, (first, stop), (start, end) in (
        (sheet.upright, upright_blank, columns, rows),
        (sheet.level, level_blank, rows, columns),
    ):
        told += int((pieces.told & ~both).sum())
        there += int((pieces.there & pieces.told & ~both).sum())
        # Outside of the frame all is blank, and no line says whether it would be spared.
        cut = np.s_[first + 1 : stop, start:end]
        spared_told += int((pieces.told & both)[cut].sum())
        spared += int((pieces.there & pieces.told & both)[cut].sum())
    if there < _LEAST or there < _MOST * told or spared > _FEW * spared_told:
        return None
    return replace(sheet, upright=upright, level=level)


def _commonest(sheet: Sheet) -> Floats:
    """The commonest colour of the cells, to within a sixteenth."""
    seen = sheet.cells[sheet.inside]
    keys = (seen // 16).astype(np.int64) @ np.array([256, 16, 1])
    values, counts = np.unique(keys, return_counts=True)
    return np.asarray(np.median(seen[keys == values[np.argmax(counts)]], axis=0))


def _left_out(pieces: Pieces, blank: NDArray[np.bool_]) -> tuple[Pieces, NDArray[np.bool_]]:
    """Pieces with those between blank cells untold, and which those are; ``blank`` is cells across × along."""
    before = np.concatenate([blank[:1], blank])
    after = np.concatenate([blank, blank[-1:]])
    both = before & after
    return replace(pieces, there=pieces.there & ~both, told=pieces.told & ~both), both
