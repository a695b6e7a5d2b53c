"""Where the cells of a grid lie on its picture: four corners and how many rows and columns are between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import atan2, degrees, hypot, isfinite

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.decode import PictureError

Floats = NDArray[np.float64]
Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]

# A corner may lie past the picture's edge, but no sense comes of one further off than any picture is wide.
_FARTHEST = 100_000.0


@dataclass(frozen=True, slots=True)
class Lattice:
    """Where the cells lie: ``corners`` (x, y) in pixels of the upright picture as decoded, clockwise from the top left
    corner of the top left cell (0 is the outer edge of the first pixel, the width that of the last), ``rows`` and
    ``columns`` of cells between them.

    >>> lattice = Lattice.upright(10, 20, 8, 8, rows=4, columns=3)
    >>> lattice.at(3, 4), lattice.pitch, lattice.turn
    ((34.0, 52.0), 8.0, 0.0)
    >>> lattice.extended(top=1, right=-1) == Lattice.upright(10, 12, 8, 8, rows=5, columns=2)
    True
    """

    corners: Corners
    rows: int
    columns: int

    @classmethod
    def upright(cls, left: float, top: float, width: float, height: float, *, rows: int, columns: int) -> Lattice:
        """An upright lattice of cells ``width`` × ``height`` pixels whose first cell starts at (left, top)."""
        right, bottom = left + columns * width, top + rows * height
        return cls(((left, top), (right, top), (right, bottom), (left, bottom)), rows, columns)

    def at(self, column: float, row: float) -> Point:
        """The pixel place of a place counted in cells, by the projective map of the corners."""
        x, y = self.places(column, row)
        return float(x), float(y)

    def places(self, columns: ArrayLike, rows: ArrayLike) -> tuple[Floats, Floats]:
        """The same for many places at once; the two broadcast against each other."""
        (a, b, c), (d, e, f), (g, h) = _square_to(self.corners)
        u = np.asarray(columns, dtype=np.float64) / self.columns
        v = np.asarray(rows, dtype=np.float64) / self.rows
        depth = g * u + h * v + 1
        return (a * u + b * v + c) / depth, (d * u + e * v + f) / depth

    def extended(self, *, top: int = 0, right: int = 0, bottom: int = 0, left: int = 0) -> Lattice:
        """With so many more (or, negative, fewer) rows and columns on each side, laid on by the same map.

        Raises PictureError when no cell, or more than a pattern may have, would be left.
        """
        rows, columns = self.rows + top + bottom, self.columns + left + right
        _check_count(rows, columns)
        places = (
            self.at(-left, -top),
            self.at(self.columns + right, -top),
            self.at(self.columns + right, self.rows + bottom),
            self.at(-left, self.rows + bottom),
        )
        return Lattice(places, rows, columns)

    def nudged(self, right: float, down: float) -> Lattice:
        """Moved by so many pixels."""
        one, two, three, four = ((x + right, y + down) for x, y in self.corners)
        return Lattice((one, two, three, four), self.rows, self.columns)

    @property
    def pitch(self) -> float:
        """Pixels a cell, in the mean of the four sides."""
        a, b, c, d = self.corners
        across = (hypot(b[0] - a[0], b[1] - a[1]) + hypot(c[0] - d[0], c[1] - d[1])) / (2 * self.columns)
        down = (hypot(d[0] - a[0], d[1] - a[1]) + hypot(c[0] - b[0], c[1] - b[1])) / (2 * self.rows)
        return (across + down) / 2

    @property
    def turn(self) -> float:
        """Degrees the rows are turned clockwise, in the mean of top and bottom."""
        a, b, c, d = self.corners
        return degrees(atan2((b[1] - a[1]) + (c[1] - d[1]), (b[0] - a[0]) + (c[0] - d[0])))

    def as_record(self) -> dict[str, object]:
        """As plain values that can be kept as JSON."""
        return {"corners": [list(corner) for corner in self.corners], "rows": self.rows, "columns": self.columns}

    @classmethod
    def from_record(cls, record: object) -> Lattice:
        """The lattice of such a record. Raises PictureError when it holds anything else.

        >>> lattice = Lattice.upright(1.5, 2, 8, 8.25, rows=4, columns=3)
        >>> Lattice.from_record(lattice.as_record()) == lattice
        True
        """
        if not isinstance(record, Mapping):
            raise _nonsense()
        rows, columns, corners = record.get("rows"), record.get("columns"), record.get("corners")
        if type(rows) is not int or type(columns) is not int or not isinstance(corners, list | tuple):
            raise _nonsense()
        _check_count(rows, columns)
        if len(corners) != 4:
            raise _nonsense()
        one, two, three, four = (_point(corner) for corner in corners)
        lattice = cls((one, two, three, four), rows, columns)
        if not lattice.is_convex:
            raise PictureError(
                "The corners of the grid lie crossed or on one line.",
                mend="Give them clockwise from the top left, well apart.",
            )
        return lattice

    @property
    def is_convex(self) -> bool:
        """Whether the corners run clockwise round a shape without a dent, as those of any seen grid do."""
        for i in range(4):
            (ax, ay), (bx, by), (cx, cy) = (self.corners[(i + k) % 4] for k in range(3))
            if (bx - ax) * (cy - by) - (by - ay) * (cx - bx) <= 0:
                return False
        return True


def _square_to(corners: Corners) -> tuple[tuple[float, float, float], tuple[float, float, float], tuple[float, float]]:
    """The projective map of the unit square onto four corners: P. Heckbert, "Fundamentals of Texture Mapping and Image
    Warping", University of California at Berkeley 1989, section 2.2.3 (from memory)."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = corners
    sx, sy = x0 - x1 + x2 - x3, y0 - y1 + y2 - y3
    dx1, dx2, dy1, dy2 = x1 - x2, x3 - x2, y1 - y2, y3 - y2
    determinant = dx1 * dy2 - dx2 * dy1
    # The exact affine case keeps upright lattices free of rounding.
    g = 0.0 if sx == 0 == sy else (sx * dy2 - dx2 * sy) / determinant
    h = 0.0 if sx == 0 == sy else (dx1 * sy - sx * dy1) / determinant
    return (
        (x1 - x0 + g * x1, x3 - x0 + h * x3, x0),
        (y1 - y0 + g * y1, y3 - y0 + h * y3, y0),
        (g, h),
    )


def _check_count(rows: int, columns: int) -> None:
    if min(rows, columns) < 1:
        raise PictureError("No row or no column would be left of the grid.", mend="Leave at least one of each.")
    if max(rows, columns) > LARGEST_SIDE:
        raise PictureError(
            f"The grid would be {columns} cells wide and {rows} high.", mend=f"The largest side is {LARGEST_SIDE}."
        )


def _point(value: object) -> Point:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise _nonsense()
    for number in value:
        if isinstance(number, bool) or not isinstance(number, int | float) or not isfinite(number):
            raise _nonsense()
        if abs(number) > _FARTHEST:
            raise PictureError("A corner of the grid lies far outside of the picture.", mend="Bring it back.")
    return float(value[0]), float(value[1])


def _nonsense() -> PictureError:
    return PictureError(
        "This is no place of a grid on a picture.",
        mend="It takes rows, columns and four corners, each an x and a y in pixels.",
    )
