"""Two patterns laid on each other: which cells differ, which woods came and went, and how many runs there are.

A drawing that was grown, cropped or moved is laid where it agrees most with the other one, or everything would count
as changed. Beyond a pattern's edge lies background, so that a margin added is no tile changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.pattern import Pattern


@dataclass(frozen=True, slots=True)
class WoodChange:
    """Tiles of one wood in the first and in the second pattern."""

    wood: str
    before: int
    after: int

    @property
    def more(self) -> int:
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class Difference:
    """``second`` lies ``down`` rows and ``right`` columns from where ``first`` begins.

    ``cells`` are those that differ, (row, column) counted from the top left cell of ``first``, so that they may be
    negative. ``woods`` holds every wood of either pattern, those of the first pattern first.
    """

    first: Pattern
    second: Pattern
    down: int
    right: int
    cells: tuple[tuple[int, int], ...]
    woods: tuple[WoodChange, ...]
    runs_before: int
    runs_after: int

    @property
    def frame(self) -> tuple[int, int, int, int]:
        """Top, left, height and width of the smallest box that holds both, counted like ``cells``."""
        top, left = min(0, self.down), min(0, self.right)
        bottom = max(self.first.height, self.down + self.second.height)
        side = max(self.first.width, self.right + self.second.width)
        return top, left, bottom - top, side - left


def difference(first: Pattern, second: Pattern) -> Difference:
    """Lay ``second`` on ``first`` and tell what differs. Any two patterns; never an error.

    >>> one, two = Pattern.of([["beech", "beech"]]), Pattern.of([["beech", "sapele"]])
    >>> found = difference(one, two)
    >>> found.cells, [(change.wood, change.more) for change in found.woods]
    (((0, 1),), [('beech', -1), ('sapele', 1)])
    """
    down, right = best_place(first, second)
    woods = list(dict.fromkeys((*first.woods, *second.woods)))
    before, after = first.counts(), second.counts()
    return Difference(
        first,
        second,
        down,
        right,
        _cells_that_differ(first, second, down, right, woods),
        tuple(WoodChange(wood, before.get(wood, 0), after.get(wood, 0)) for wood in woods),
        _runs(first),
        _runs(second),
    )


def best_place(first: Pattern, second: Pattern) -> tuple[int, int]:
    """How far down and to the right ``second`` lies where most of its tiles fall on a tile of the same wood.

    Corner on corner whenever no other place is better; of places that are equally good the one nearest to it, then
    the upper, then the left one.
    """
    agree = _agreements(first, second)
    most = agree.max()
    places = [(int(r) - second.height + 1, int(c) - second.width + 1) for r, c in np.argwhere(agree == most)]
    return min(places, key=lambda place: (abs(place[0]) + abs(place[1]), place))


def said(found: Difference, names: Mapping[str, str]) -> tuple[str, ...]:
    """The difference in sentences; ``names`` are the woods' names by id.

    >>> one = Pattern.of([["beech", "beech"]])
    >>> said(difference(one, one), {})
    ('The two are alike, tile for tile.',)
    """
    sentences = []
    a, b = found.first, found.second
    if (a.height, a.width) != (b.height, b.width):
        sentences.append(f"{a.height} rows of {a.width} became {b.height} rows of {b.width}.")
    if moved := _moved(found):
        sentences.append(f"They agree best with the second laid {moved}, and are compared so.")
    if not found.cells:
        sentences.append("The two are alike, tile for tile.")
        return tuple(sentences)
    many = len(found.cells)
    rows = sorted({row + 1 for row, _ in found.cells})
    sentences.append(
        f"{many} {'cell differs' if many == 1 else 'cells differ'}, in {len(rows)} "
        f"{'row' if len(rows) == 1 else 'rows'} of the first."
        if min(rows) >= 1 and max(rows) <= a.height
        else f"{many} {'cell differs' if many == 1 else 'cells differ'}."
    )
    changes = [
        f"{abs(change.more)} {'more' if change.more > 0 else 'fewer'} of {names.get(change.wood, change.wood)}"
        for change in found.woods
        if change.more
    ]
    if changes:
        sentences.append(f"Tiles: {', '.join(changes)}.")
    else:
        sentences.append("As many tiles of every wood as before.")
    runs = found.runs_after - found.runs_before
    sentences.append(
        f"{abs(runs)} {'run' if abs(runs) == 1 else 'runs'} {'more' if runs > 0 else 'fewer'} to cut and lay."
        if runs
        else "As many runs to cut and lay."
    )
    return tuple(sentences)


def _moved(found: Difference) -> str:
    parts = [
        f"{abs(by)} {one if abs(by) == 1 else many} {forward if by > 0 else back}"
        for by, one, many, forward, back in (
            (found.down, "row", "rows", "lower", "higher"),
            (found.right, "column", "columns", "to the right", "to the left"),
        )
        if by
    ]
    return " and ".join(parts)


def _runs(pattern: Pattern) -> int:
    return sum(run.wood is not None for row in range(pattern.height) for run in pattern.runs_in_row(row))


def _numbers(pattern: Pattern, woods: list[str]) -> NDArray[np.uint16]:
    """Rows × columns of numbers into ``woods``, 0 for background."""
    table = np.array([0, *(woods.index(wood) + 1 for wood in pattern.woods)], dtype=np.uint16)
    numbers: NDArray[np.uint16] = table[np.array([list(row) for row in pattern.rows], dtype=np.uint8)]
    return numbers


def _agreements(first: Pattern, second: Pattern) -> NDArray[np.int64]:
    """For every place of ``second`` that overlaps ``first`` how many tiles of one wood fall on each other.

    Entry [r, c] is for the place r - (second's height - 1) down and c - (second's width - 1) to the right: the
    correlation of the two, wood by wood, by the Fourier transform; counts of at most 40 000, so rounding is exact.
    """
    shape = (first.height + second.height - 1, first.width + second.width - 1)
    total = np.zeros((shape[0], shape[1] // 2 + 1), dtype=np.complex128)
    for wood in [wood for wood in first.woods if wood in second.woods]:
        there = _of_wood(first, wood)
        here = _of_wood(second, wood)[::-1, ::-1]
        total += np.fft.rfft2(there, shape) * np.fft.rfft2(here, shape)
    counts: NDArray[np.int64] = np.rint(np.fft.irfft2(total, shape)).astype(np.int64)
    return counts


def _of_wood(pattern: Pattern, wood: str) -> NDArray[np.float64]:
    number = pattern.woods.index(wood) + 1
    return np.array([[float(cell == number) for cell in row] for row in pattern.rows])


def _cells_that_differ(
    first: Pattern, second: Pattern, down: int, right: int, woods: list[str]
) -> tuple[tuple[int, int], ...]:
    top, left = min(0, down), min(0, right)
    height = max(first.height, down + second.height) - top
    width = max(first.width, right + second.width) - left
    one = np.zeros((height, width), dtype=np.uint16)
    two = one.copy()
    one[-top : first.height - top, -left : first.width - left] = _numbers(first, woods)
    two[down - top : down - top + second.height, right - left : right - left + second.width] = _numbers(second, woods)
    rows, columns = np.nonzero(one != two)
    return tuple(zip((rows + top).tolist(), (columns + left).tolist(), strict=True))
