"""A grid drawn over its picture: paths in the picture's own pixels, straight also where the grid is seen askew."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

# Heavier lines stand so many rows apart, for the eye to count by.
COUNTED_BY = 10


@dataclass(frozen=True)
class Overlay:
    """SVG path data: the frame, all lines, the heavier ones, and the cells that are background."""

    frame: str
    lines: str
    tens: str
    veil: str


def overlay(lattice, filled: np.ndarray) -> Overlay:
    """The paths of ``lattice`` with the cells that are not ``filled`` veiled."""
    rows, columns = lattice.rows, lattice.columns
    across = [(row, _line(lattice, (0, row), (columns, row))) for row in range(1, rows)]
    down = [(column, _line(lattice, (column, 0), (column, rows))) for column in range(1, columns)]
    every = [*across, *down]
    corners = [lattice.at(*place) for place in ((0, 0), (columns, 0), (columns, rows), (0, rows))]
    return Overlay(
        frame="M" + "L".join(_pair(*corner) for corner in corners) + "Z",
        lines="".join(path for number, path in every if number % COUNTED_BY),
        tens="".join(path for number, path in every if number % COUNTED_BY == 0),
        veil=_veil(lattice, filled),
    )


def _line(lattice, one: tuple[int, int], other: tuple[int, int]) -> str:
    return f"M{_pair(*lattice.at(*one))}L{_pair(*lattice.at(*other))}"


def _veil(lattice, filled: np.ndarray) -> str:
    """The background cells, one shape for each run of them in a row."""
    edges = np.diff(np.pad(~filled, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    begins, ends = np.argwhere(edges == 1), np.argwhere(edges == -1)
    if not len(begins):
        return ""
    rows, first, after = begins[:, 0], begins[:, 1], ends[:, 1]
    corners = [lattice.places(*place) for place in ((first, rows), (after, rows), (after, rows + 1), (first, rows + 1))]
    xs, ys = (np.stack(values, axis=1).round(2).tolist() for values in zip(*corners, strict=True))
    return "".join(
        "M" + "L".join(_pair(*corner) for corner in zip(x, y, strict=True)) + "Z" for x, y in zip(xs, ys, strict=True)
    )


def _pair(x: float, y: float) -> str:
    return f"{_number(x)} {_number(y)}"


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
