"""A board between two climates: each column of it from top border to bottom border, and where neighbours part.

All grain runs along the rows, where wood hardly moves (0.1 to 0.2 % in all from green to dry, American Wood Council).
Across it every cell moves by its own wood, so a column's change is the sum down it. Columns of unlike woods are held
to one another by the glue; what they would differ by if they were free is what the glue and the wood have to bear.
Columns are those of the rows as they are laid: where rows stand upright they are rows of the picture.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

import numpy as np
from numpy.typing import NDArray

from planner.build import Build
from planner.measures import Length
from planner.movement.lines import (
    ColumnMovement,
    Parting,
    a_millimetre,
    any_two_of,
    counted,
    neighbours_of,
    sums_of,
)

# Tangential and radial.
_WAYS = (False, True)


@dataclass(frozen=True, slots=True)
class SeamStep:
    """The step in thickness between two woods that lie side by side, once both have moved."""

    one: str
    other: str
    by: Length


@dataclass(frozen=True, slots=True)
class BoardMovement:
    """``height`` is the finished board's, across the rows; ``names`` the woods of ``counts``, how many cells of each
    stand in each column of the picture. ``neighbours`` part most, ``any_two`` wherever they are; ``step`` is the
    largest. None where the board has one column, or one wood."""

    height: Length
    first: Fraction
    then: Fraction
    columns: tuple[ColumnMovement, ...]
    neighbours: Parting | None
    any_two: Parting | None
    step: SeamStep | None
    names: tuple[str, ...]
    counts: tuple[tuple[int, ...], ...]

    @property
    def most(self) -> ColumnMovement:
        """The column that changes most, the first of equals."""
        return max(self.columns, key=lambda column: abs(column.by.mm))


def board_movement(board: Build, first: Fraction, then: Fraction, *, quartered: Collection[str] = ()) -> BoardMovement:
    """How the finished board moves when its moisture goes from ``first`` to ``then`` percent.

    ``quartered`` names woods bought quartered; of any other the tangential change is taken across the grain. In the
    thickness, where the rings stand is not known: the larger difference of the two ways is told. Raises MovementError.
    """

    @cache
    def grows(name: str, radial: bool) -> Fraction:
        return a_millimetre(name, first, then, radial=radial)

    def across(name: str) -> Fraction:
        return grows(name, name in quartered)

    spec, pattern = board.spec, board.pattern
    names = (spec.border_wood, *pattern.woods)
    cells = np.array([list(row) for row in pattern.rows], dtype=np.int16)
    counts = counted(cells, len(names))
    borders = across(spec.border_wood) * spec.end_border.mm * 2 if spec.end_border else Fraction(0)
    moved = [
        ColumnMovement(i, Length(by + borders)) for i, by in enumerate(sums_of(counts, names, across, spec.pitch), 1)
    ]
    if spec.side_border:
        plain = Length(across(spec.border_wood) * spec.pitch.mm * pattern.height + borders)
        moved = [ColumnMovement(0, plain), *moved, ColumnMovement(pattern.width + 1, plain)]
    return BoardMovement(
        board.finished_height,
        first,
        then,
        tuple(moved),
        neighbours_of(moved),
        any_two_of(moved),
        _largest_step(board, names, cells, grows),
        names,
        tuple(tuple(line) for line in counts),
    )


def _largest_step(
    board: Build, names: tuple[str, ...], cells: NDArray[np.int16], grows: Callable[[str, bool], Fraction]
) -> SeamStep | None:
    spec = board.spec
    many = len(names)
    # Two woods that touch as one number; the border's wood is number 0, as background is.
    beside = [cells[:, 1:] * many + cells[:, :-1], cells[1:] * many + cells[:-1]]
    beside += [cells[[0, -1]]] if spec.end_border else []
    beside += [cells[:, [0, -1]]] if spec.side_border else []
    touching = {tuple(sorted((names[n // many], names[n % many]))) for part in beside for n in np.unique(part).tolist()}
    steps = [
        SeamStep(one, other, spec.thickness * max(abs(grows(one, way) - grows(other, way)) for way in _WAYS))
        for one, other in sorted(touching)
        if one != other
    ]
    return max(steps, key=lambda step: step.by.mm, default=None)
