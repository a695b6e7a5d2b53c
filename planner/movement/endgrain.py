"""A field of end grain between two climates. Its face shows the grain's end, so that it moves both ways across it.

Every cell moves by its own wood along its column and along its row; in its thickness it hardly does. Round it goes a
border of end grain or none: with long grain on two sides a frame would hold what has to move.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from planner.measures import ZERO, Length
from planner.movement.lines import (
    ColumnMovement,
    Parting,
    a_millimetre,
    any_two_of,
    counted,
    neighbours_of,
    sums_of,
)
from planner.pattern import Pattern


@dataclass(frozen=True, slots=True)
class OneWay:
    """The field one way: every line of it from edge to edge, neighbours that part most, and any two that do."""

    lines: tuple[ColumnMovement, ...]
    neighbours: Parting | None
    any_two: Parting | None


@dataclass(frozen=True, slots=True)
class EndGrainMovement:
    """``down`` sums every column of the picture, ``along`` every row."""

    first: Fraction
    then: Fraction
    down: OneWay
    along: OneWay


def end_grain_movement(
    pattern: Pattern,
    pitch: Length,
    border_wood: str,
    first: Fraction,
    then: Fraction,
    *,
    border: Length = ZERO,
) -> EndGrainMovement:
    """How a field of end grain moves when its moisture goes from ``first`` to ``then`` percent.

    ``border_wood`` is the background's too; ``border`` the width of the end-grain border on all four sides. Which way
    a cell's rings lie is not known, quartered or not: both ways are reckoned tangential, the larger. Raises
    MovementError.

    >>> mm = Length.of_mm
    >>> moved = end_grain_movement(Pattern.of([["beech"] * 4] * 2), mm(25), "beech", Fraction(6), Fraction(10))
    >>> moved.down.lines[0].by, moved.along.lines[0].by
    (Length('0.862 mm'), Length('1.724 mm'))
    """

    @cache
    def across(name: str) -> Fraction:
        return a_millimetre(name, first, then, radial=False)

    names = (border_wood, *pattern.woods)
    cells = np.array([list(row) for row in pattern.rows], dtype=np.int16)
    edges = across(border_wood) * border.mm * 2 if border else Fraction(0)

    def one_way(lines: NDArray[np.int16]) -> OneWay:
        sums = sums_of(counted(lines, len(names)), names, across, pitch)
        moved = [ColumnMovement(i, Length(by + edges)) for i, by in enumerate(sums, 1)]
        if border:
            plain = Length(across(border_wood) * pitch.mm * lines.shape[0] + edges)
            moved = [ColumnMovement(0, plain), *moved, ColumnMovement(lines.shape[1] + 1, plain)]
        return OneWay(tuple(moved), neighbours_of(moved), any_two_of(moved))

    return EndGrainMovement(first, then, one_way(cells), one_way(cells.T))
