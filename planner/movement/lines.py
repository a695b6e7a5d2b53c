"""What lines of cells do across their grain: the sum down each, and which lines part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.measures import Length, round_half_up
from planner.movement.change import change_of
from planner.woods import wood


@dataclass(frozen=True, slots=True)
class ColumnMovement:
    """``column`` counts the picture's columns from 1, in an end-grain field its rows too; 0 is the border before the
    first, one more than the last the border after it. ``by`` is what it grows from edge to edge, below nought where it
    shrinks."""

    column: int
    by: Length


@dataclass(frozen=True, slots=True)
class Parting:
    """Two columns that would differ by ``by`` if nothing held them."""

    one: int
    other: int
    by: Length


def a_millimetre(name: str, first: Fraction, then: Fraction, *, radial: bool) -> Fraction:
    """What a millimetre of that wood across its grain grows between two moistures, in millimetres, to seven decimals:
    the coefficients have five and the moistures one, and no more is known. Raises MovementError."""
    by = change_of(Length.of_mm(1), wood(name), first, then, quartered=radial).by
    return Fraction(round_half_up(by.mm, 7))


def counted(cells: NDArray[np.int16], kinds: int) -> list[list[int]]:
    """How many cells of each of ``kinds`` numbers stand in each column of rows × columns: columns × kinds."""
    columns = cells.shape[1]
    flat = np.bincount((cells + np.arange(columns) * kinds).ravel(), minlength=columns * kinds)
    counts: list[list[int]] = flat.reshape(columns, kinds).tolist()
    return counts


def sums_of(
    counts: list[list[int]], names: Sequence[str], across: Callable[[str], Fraction], cell: Length
) -> list[Fraction]:
    """What each line of cells ``cell`` long grows, in millimetres, ``names`` being the woods of its numbers."""
    by = [across(name) * cell.mm for name in names]
    return [sum((one * n for one, n in zip(by, line, strict=True) if n), Fraction(0)) for line in counts]


def neighbours_of(moved: Sequence[ColumnMovement]) -> Parting | None:
    """The two neighbours that part most, the first of equals. None where there is one line."""
    return max((parting(*two) for two in pairwise(moved)), key=lambda p: p.by.mm, default=None)


def any_two_of(moved: Sequence[ColumnMovement]) -> Parting | None:
    """The two lines that part most, wherever they are. None where there is one."""
    if len(moved) < 2:
        return None
    ordered = sorted(moved, key=lambda column: column.by.mm)
    least, most = sorted((ordered[0], ordered[-1]), key=lambda column: column.column)
    return parting(least, most)


def parting(one: ColumnMovement, other: ColumnMovement) -> Parting:
    return Parting(one.column, other.column, Length(abs(one.by.mm - other.by.mm)))
