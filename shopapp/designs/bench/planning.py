"""The door to the planner for the bench: its grid in and out, and what is pointed out on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from planner.drawing import MARKS
from planner.mending import Hint, hints_of
from planner.pattern import LARGEST_SIDE, Pattern

__all__ = ["LARGEST_SIDE", "Pattern", "empty_grid", "pointed_out", "rows_in_hex", "runs_of", "strokes_of"]


def empty_grid(rows: int, columns: int) -> Pattern:
    """All background, as a bench begins that starts from nothing."""
    return Pattern.of([[None] * columns] * rows)


def rows_in_hex(pattern: Pattern) -> list[str]:
    """Two hex digits a cell, a text a row; 00 is background and k stands for the pattern's wood k."""
    return [row.hex() for row in pattern.rows]


def runs_of(pattern: Pattern) -> int:
    """How many runs of wood are laid, row by row; background is none."""
    return sum(run.wood is not None for row in range(pattern.height) for run in pattern.runs_in_row(row))


def strokes_of(mark: str) -> Sequence[Sequence[tuple[float, float]]]:
    """A mark's strokes as points in a unit square, for a drawing made on the page itself."""
    return MARKS.get(mark, ())


def pointed_out(pattern: Pattern, names: Mapping[str, str], least_carried: Fraction) -> tuple[Hint, ...]:
    return hints_of(pattern, names, least_carried=least_carried)
