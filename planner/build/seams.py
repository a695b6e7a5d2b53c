"""Seams across the grain, and the continuous long grain that carries each.

A straight line of end-grain joints through the board is weak: end-grain butt joints are "practically impossible
to make strong enough for ordinary service" (Wood Handbook, FPL-GTR-190, chapter 10). What holds such a seam is
long grain that crosses it: a run or a border laid over it in some rows, and the top and bottom borders.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from planner.measures import Length


@dataclass(frozen=True, slots=True)
class Seam:
    """The seam left of column ``column`` (0 for the one between left border and picture; the number of columns
    for the one at the right). ``carried`` of the board's ``of`` height is crossed by long grain, and
    ``longest_gap`` is the longest stretch without any."""

    column: int
    carried: Length
    of: Length
    longest_gap: Length

    @property
    def share(self) -> Fraction:
        return self.carried.mm / self.of.mm


def seams_of(joints: NDArray[np.bool_], pitch: Length, end_border: Length) -> tuple[Seam, ...]:
    """Every seam with at least one joint.

    ``joints`` is rows × (columns + 1): whether row r is jointed at the line left of column c. Lengths are exact.

    >>> three_rows = np.array([[0, 1, 0], [0, 1, 0], [0, 0, 0]], dtype=bool)
    >>> seam, = seams_of(three_rows, Length.of_mm(20), Length.of_mm(30))
    >>> seam.column, seam.carried, seam.of, seam.longest_gap, seam.share
    (1, Length('80 mm'), Length('120 mm'), Length('40 mm'), Fraction(2, 3))
    """
    rows = joints.shape[0]
    height = pitch * rows + end_border * 2
    found = []
    for column in np.flatnonzero(joints.any(axis=0)):
        line = joints[:, column]
        crossing = rows - int(line.sum())
        found.append(Seam(int(column), pitch * crossing + end_border * 2, height, pitch * longest_stretch(line)[1]))
    return tuple(found)


def weakest_of(seams: tuple[Seam, ...]) -> Seam | None:
    """The seam with the least long grain across it; of equals the one with the longest bare stretch."""
    return min(seams, key=lambda seam: (seam.carried.mm, -seam.longest_gap.mm), default=None)


def longest_stretch(line: NDArray[np.bool_]) -> tuple[int, int]:
    """Where the longest stretch of joints down one line begins, and how many rows it is long; the upper of equals.

    >>> longest_stretch(np.array([1, 0, 1, 1, 0, 1, 1], dtype=bool))
    (2, 2)
    """
    start = longest = current = 0
    for row, jointed in enumerate(line.tolist()):
        current = current + 1 if jointed else 0
        if current > longest:
            start, longest = row + 1 - current, current
    return start, longest
