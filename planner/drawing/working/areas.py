"""Where a mark has room on a picture whose tiles are too small for marks of their own: squares of one wood."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from planner.pattern import Pattern


def squares_of(pattern: Pattern, side: int) -> Iterator[tuple[str, int, int]]:
    """(wood, row, column) of the upper left tile of squares ``side`` tiles large that are all of one wood, from the
    top. Between two of one wood lies such a square at least, or a large area would be full of marks; background has
    none.

    >>> list(squares_of(Pattern.of([["beech"] * 5] * 2), 2))
    [('beech', 0, 0)]
    >>> list(squares_of(Pattern.of([["beech"] * 6] * 2), 2))
    [('beech', 0, 0), ('beech', 0, 4)]
    """
    cells = np.array([list(row) for row in pattern.rows], dtype=np.int16)
    if side > min(cells.shape):
        return
    windows = np.lib.stride_tricks.sliding_window_view(cells, (side, side))
    uniform = (windows.min(axis=(2, 3)) == windows.max(axis=(2, 3))) & (windows[:, :, 0, 0] > 0)
    taken = np.zeros((len(pattern.woods) + 1, *cells.shape), dtype=bool)
    for row, column in np.argwhere(uniform).tolist():
        number = int(cells[row, column])
        near = taken[number]
        if not near[row, column]:
            top, left = max(row - 2 * side + 1, 0), max(column - 2 * side + 1, 0)
            near[top : row + 2 * side, left : column + 2 * side] = True
            yield pattern.woods[number - 1], row, column
