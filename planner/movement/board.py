"""A board between two climates: each column of it from top border to bottom border, and where neighbours part.

All grain runs along the rows, where wood hardly moves (0.1 to 0.2 % in all from green to dry, American Wood Council).
Across it every cell moves by its own wood, so a column's change is the sum down it. Columns of unlike woods are held
to one another by the glue; what they would differ by if they were free is what the glue and the wood have to bear.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise

from planner.build import Build
from planner.measures import Length
from planner.movement.change import change_of
from planner.woods import wood

# Tangential and radial.
_WAYS = (False, True)


@dataclass(frozen=True, slots=True)
class ColumnMovement:
    """``column`` counts the picture's columns from 1; 0 is the left border, one more than the last the right one.
    ``by`` is what the column grows from its top edge to its bottom edge, below nought where it shrinks."""

    column: int
    by: Length


@dataclass(frozen=True, slots=True)
class Parting:
    """Two columns that would differ by ``by`` if nothing held them."""

    one: int
    other: int
    by: Length


@dataclass(frozen=True, slots=True)
class SeamStep:
    """The step in thickness between two woods that lie side by side, once both have moved."""

    one: str
    other: str
    by: Length


@dataclass(frozen=True, slots=True)
class BoardMovement:
    """``height`` is the blank's, finished; the neighbours that part most, any two that do, and the largest step. None
    where the board has one column, or one wood."""

    height: Length
    first: Fraction
    then: Fraction
    columns: tuple[ColumnMovement, ...]
    neighbours: Parting | None
    any_two: Parting | None
    step: SeamStep | None


def board_movement(board: Build, first: Fraction, then: Fraction, *, quartered: Collection[str] = ()) -> BoardMovement:
    """How the finished board moves when its moisture goes from ``first`` to ``then`` percent.

    ``quartered`` names woods bought quartered; of any other the tangential change is taken across the grain. In the
    thickness, where the rings stand is not known: the larger difference of the two ways is told. Raises MovementError.
    """

    @cache
    def a_millimetre(name: str, radial: bool) -> Fraction:
        return change_of(Length.of_mm(1), wood(name), first, then, quartered=radial).by.mm

    def across(name: str) -> Fraction:
        return a_millimetre(name, name in quartered)

    spec = board.spec
    borders = across(spec.border_wood) * spec.end_border.mm * 2 if spec.end_border else Fraction(0)
    cells = _woods_of(board)
    moved = [
        ColumnMovement(
            i, Length(sum(across(name) * n for name, n in Counter(column).items()) * spec.pitch.mm + borders)
        )
        for i, column in enumerate(zip(*cells, strict=True), start=1)
    ]
    if spec.side_border:
        plain = Length(across(spec.border_wood) * spec.pitch.mm * board.pattern.height + borders)
        moved = [ColumnMovement(0, plain), *moved, ColumnMovement(board.pattern.width + 1, plain)]
    return BoardMovement(
        board.finished_height,
        first,
        then,
        tuple(moved),
        max((_parting(*two) for two in pairwise(moved)), key=lambda p: p.by.mm, default=None),
        _widest(moved),
        _largest_step(board, cells, a_millimetre),
    )


def _woods_of(board: Build) -> list[list[str]]:
    """The wood of every cell, row by row; background is in the border's wood."""
    names = (board.spec.border_wood, *board.pattern.woods)
    return [[names[k] for k in row] for row in board.pattern.rows]


def _largest_step(
    board: Build, cells: list[list[str]], a_millimetre: Callable[[str, bool], Fraction]
) -> SeamStep | None:
    spec = board.spec
    touching = {pair for row in cells for pair in pairwise(row)}
    touching |= {pair for upper, lower in pairwise(cells) for pair in zip(upper, lower, strict=True)}
    edges = [*cells[0], *cells[-1]] if spec.end_border else []
    edges += [row[i] for row in cells for i in (0, -1)] if spec.side_border else []
    touching |= {(spec.border_wood, name) for name in edges}
    steps = [
        SeamStep(
            one, other, spec.thickness * max(abs(a_millimetre(one, way) - a_millimetre(other, way)) for way in _WAYS)
        )
        for one, other in sorted({(min(pair), max(pair)) for pair in touching})
        if one != other
    ]
    return max(steps, key=lambda step: step.by.mm, default=None)


def _parting(one: ColumnMovement, other: ColumnMovement) -> Parting:
    return Parting(one.column, other.column, Length(abs(one.by.mm - other.by.mm)))


def _widest(moved: list[ColumnMovement]) -> Parting | None:
    if len(moved) < 2:
        return None
    ordered = sorted(moved, key=lambda column: column.by.mm)
    least, most = sorted((ordered[0], ordered[-1]), key=lambda column: column.column)
    return _parting(least, most)
