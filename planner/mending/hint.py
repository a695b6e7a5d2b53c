"""A thing pointed out on a pattern, its cells, and the cells to lay anew that would mend it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.pattern import Pattern

# Beyond the pattern's edge, where cells are kept as numbers into its woods; 0 is background.
OUTSIDE = -1
Cells = NDArray[np.int16]
Mask = NDArray[np.bool_]
Lengths = NDArray[np.int64]
Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Lay:
    """Lay ``wood`` (None for background) in one cell; row and column count from 0."""

    row: int
    column: int
    wood: str | None


@dataclass(frozen=True, slots=True)
class Mend:
    """What to do, in words, and the cells that would be laid anew."""

    words: str
    lay: tuple[Lay, ...]


@dataclass(frozen=True, slots=True)
class Hint:
    """``kind`` is "single", "sliver", "symmetry" or "seam"; ``cells`` (row, column from 0) are what it is about."""

    kind: str
    words: str
    cells: tuple[Place, ...]
    mend: Mend | None


class Names:
    """What woods are called in a sentence."""

    def __init__(self, names: Mapping[str, str]) -> None:
        self._names = names

    def of(self, wood: str | None) -> str:
        return "background" if wood is None else self._names.get(wood, wood)


def numbers_of(pattern: Pattern) -> Cells:
    """Rows × columns of numbers into the pattern's woods, 0 for background."""
    return np.array([list(row) for row in pattern.rows], dtype=np.int16)


def wood_of(pattern: Pattern, number: int) -> str | None:
    return pattern.woods[number - 1] if number > 0 else None


def cells_where(mask: Mask) -> tuple[Place, ...]:
    """Row and column of every true cell, row by row."""
    rows, columns = np.nonzero(mask)
    return tuple(zip(rows.tolist(), columns.tolist(), strict=True))


def run_lengths(cells: Cells) -> Lengths:
    """For every cell how long the run in its row is that it belongs to.

    >>> run_lengths(np.array([[3, 3, 0, 3]], dtype=np.int16)).tolist()
    [[2, 2, 1, 1]]
    """
    rows, columns = cells.shape
    begins = np.ones((rows, columns), dtype=bool)
    begins[:, 1:] = cells[:, 1:] != cells[:, :-1]
    starts = np.flatnonzero(begins.ravel())
    lengths = np.diff(np.append(starts, rows * columns))
    return np.repeat(lengths, lengths).reshape(rows, columns)


# Sorts told one by one, those with most cells first; what is left is told together.
MOST_SORTS = 8


def sorted_out(mask: Mask, *by: NDArray[np.integer[Any]]) -> list[tuple[tuple[int, ...], list[Place]]]:
    """The true cells gathered by what the arrays say of each, the largest gathering first."""
    found: dict[tuple[int, ...], list[Place]] = {}
    keys = zip(*(array[mask].tolist() for array in by), strict=True)
    for key, place in zip(keys, cells_where(mask), strict=True):
        found.setdefault(key, []).append(place)
    return sorted(found.items(), key=lambda one: (-len(one[1]), one[0]))


def rest_of(sorts: list[tuple[tuple[int, ...], list[Place]]]) -> list[Place]:
    """Every place of the sorts that are not told one by one, row by row."""
    return sorted(place for _, places in sorts[MOST_SORTS:] for place in places)


def counted(number: int, one: str, many: str) -> str:
    """
    >>> counted(1, "tile", "tiles"), counted(3, "tile", "tiles")
    ('one tile', '3 tiles')
    """
    return f"one {one}" if number == 1 else f"{number} {many}"


def listed(what: str, numbers: Iterable[int], most: int = 6) -> str:
    """Row or column numbers as one reads them out, the rest only counted.

    >>> listed("row", [4]), listed("row", [4, 9]), listed("column", range(1, 10), most=3)
    ('row 4', 'rows 4 and 9', 'columns 1, 2, 3 and 6 more')
    """
    found: Sequence[int] = sorted(set(numbers))
    if len(found) == 1:
        return f"{what} {found[0]}"
    if len(found) > most:
        return f"{what}s {', '.join(map(str, found[:most]))} and {len(found) - most} more"
    return f"{what}s {', '.join(map(str, found[:-1]))} and {found[-1]}"


def capital(words: str) -> str:
    return words[:1].upper() + words[1:]
