"""What a line across the rows is called where the board hangs."""

from __future__ import annotations

from planner.build import Build
from planner.build.words import ENDS


def line_place(column: int, board: Build) -> str:
    """A column of the board as it is laid, in words: 0 is the border before it, one more than the last that after it.

    Where rows stand upright a column as laid is a row of the picture, counted from its bottom.
    """
    if column in (0, board.pattern.width + 1):
        return f"the {ENDS[board.spec.along][0 if column == 0 else 1]} border"
    if board.spec.along == "columns":
        return f"row {column} of the picture from the bottom"
    return f"column {column}"


def lines_place(one: int, other: int, board: Build) -> str:
    """Two of them."""
    inside = all(1 <= column <= board.pattern.width for column in (one, other))
    if not inside:
        return f"{line_place(one, board)} and {line_place(other, board)}"
    if board.spec.along == "columns":
        return f"rows {one} and {other} of the picture from the bottom"
    return f"columns {one} and {other}"
