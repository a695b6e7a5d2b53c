"""Seams that too little long grain lies across, in the picture itself; top and bottom borders come on top of it."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from planner.build.seams import longest_stretch
from planner.build.words import seam_place
from planner.mending.hint import Cells, Hint, Lay, Mend, Names, numbers_of
from planner.pattern import Pattern

# A picture of one or two rows is held by its borders whatever its seams; and so many seams are told one by one.
FEWEST_ROWS = 3
MOST_TOLD = 6


def weak_seams(pattern: Pattern, names: Names, least_carried: Fraction) -> list[Hint]:
    """The weakest seams first, those with no run across before the others. Built in runs, as the planner builds."""
    cells = numbers_of(pattern)
    rows = pattern.height
    if rows < FEWEST_ROWS:
        return []
    joints = cells[:, 1:] != cells[:, :-1]
    short = []
    for line in np.flatnonzero(joints.any(axis=0)).tolist():
        across = rows - int(joints[:, line].sum())
        if across == 0 or Fraction(across, rows) < least_carried:
            start, length = longest_stretch(joints[:, line])
            short.append((across, -length, line + 1, start))
    short.sort()
    return [
        _hint(pattern, cells, column, across, start, -length, len(short) - MOST_TOLD if last else 0)
        for n, (across, length, column, start) in enumerate(short[:MOST_TOLD])
        for last in [n == MOST_TOLD - 1]
    ]


def _hint(pattern: Pattern, cells: Cells, column: int, across: int, start: int, length: int, others: int) -> Hint:
    rows, columns = cells.shape
    place = seam_place(column, columns)
    if across == 0:
        words = f"No run lies across the seam {place}: only the top and bottom borders would hold it."
    else:
        words = (
            f"Only {across} of {rows} rows {'has' if across == 1 else 'have'} a run across the seam {place}; "
            f"{length} at a stretch have none."
        )
    if others > 0:
        words += f" {others} more {'is' if others == 1 else 'are'} like it."
    where = tuple((row, side) for row in range(start, start + length) for side in (column - 1, column))
    return Hint("seam", words, where, Mend(STAGGER, _staggered(pattern, cells, column, start, length)))


STAGGER = "Move the joint by one tile in every second row, so that runs lie across"


def _staggered(pattern: Pattern, cells: Cells, column: int, start: int, length: int) -> tuple[Lay, ...]:
    """In every second row of the bare stretch the shorter run gives a tile to the longer one; to the left one of
    equals. A stretch of one row moves in that row."""
    lay = []
    for row in range(start + min(1, length - 1), start + length, 2):
        left, right = _run(cells, row, column - 1, -1), _run(cells, row, column, 1)
        if left >= right:
            lay.append(Lay(row, column, pattern.cell(row, column - 1)))
        else:
            lay.append(Lay(row, column - 1, pattern.cell(row, column)))
    return tuple(lay)


def _run(cells: Cells, row: int, column: int, step: int) -> int:
    """How far the run at a cell goes on in one direction, the cell itself counted."""
    length, at = 0, column
    while 0 <= at < cells.shape[1] and cells[row, at] == cells[row, column]:
        length, at = length + 1, at + step
    return length
