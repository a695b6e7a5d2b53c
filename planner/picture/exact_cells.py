"""What a grid that explains a picture to the last pixel is, and how much it leaves to be told."""

from __future__ import annotations

from dataclasses import dataclass
from math import lgamma

import numpy as np
from numpy.typing import NDArray

from planner.picture.factors import Places

Codes = NDArray[np.uint32]

ONE_OR_TWO = 2.0
# A reading rivals another where it is worse by less than so many nats; and one pixel a cell also where, its price left
# out, it is better by so many. Settled by trial: of 800 pictures of one pixel a cell one in twenty has such a rival.
_NEARLY_AS_WELL, RIVAL = 4.0, 6.0
_AT_THE_ENDS = 7.0
# Uneven cells of so few pixels are rivals where they are worse by no more than this, prices left out.
ACCIDENTAL, _NEARLY_AS_EVEN = 3.5, 10.0
# Cells of about half the size are those of a drawing in strokes of two; so much worse they may be.
_STROKES, _OF_STROKES = (0.4, 0.62), 30.0
# Below so many pixels a cell it is hardly told where a margin ends.
_HARDLY_TOLD = 2.3
# Cells are square, but for a picture stretched by so much.
STRETCH = 0.045
# Cells that come to lie off others by less than such a part of one, from end to end, are the same.
_PART = 0.75
# What a reading must save over a plainer one, in nats (about the logarithm of how many such readings there are to try),
# before it is believed. Settled by trial on icons, faces and drawn figures: none is then read at its strokes' pitch.
PRICE_OF_FRACTIONS = 16.0
PRICE_OF_A_FRAME = 10.0
PRICE_OF_A_CUT = 16.0


@dataclass(frozen=True, slots=True)
class Axis:
    """Cells along one side: cell k of ``count`` starts at the whole number next above ``offset`` + k × ``pitch``.

    ``ends`` are the pixels that the first cell starts and the last one ends at where these were seen, and may be a
    pixel off that."""

    offset: float
    pitch: float
    count: int
    ends: tuple[int, int] | None = None

    def middles(self, side: int) -> list[int]:
        """A pixel in the middle of each cell on a picture ``side`` pixels long, or the nearest on it."""
        # Uneven cells start up to a pixel later than their offset says, half a one in the mean.
        start = self.offset if self.pitch.is_integer() else self.offset + 0.5
        first, end = self.ends or (0, side)
        return [min(max(int(start + (k + 0.5) * self.pitch), first), end - 1) for k in range(self.count)]


@dataclass(frozen=True, slots=True)
class Cells:
    """One exact reading: both axes, whether the picture's edge cuts its outermost cells, whether it is of a drawing
    ``framed`` by a page, and ``nats``, what it leaves to be told, the ``price`` of being believed among it. What is
    ``believed`` saves enough between its own ends; ``evenness`` is how much more evenly its runs are told, in nats;
    what is ``in_doubt`` is to be shown beside one pixel a cell."""

    rows: Axis
    columns: Axis
    cut: bool
    framed: bool
    nats: float
    price: float = 0.0
    believed: bool = False
    evenness: float = 0.0
    in_doubt: bool = False

    @property
    def leaves(self) -> float:
        """What is left to be told, evenness and all."""
        return self.nats - self.evenness

    def of(self, codes: Codes) -> Codes:
        """The number of each cell in a picture."""
        height, width = codes.shape
        return codes[np.ix_(self.rows.middles(height), self.columns.middles(width))]

    def rivals(self, other: Cells) -> bool:
        """Whether another reading does nearly as well or, against one pixel a cell, would if such were not rare; of two
        in small uneven cells, prices left out, the worse may as well be right."""
        plain = self.rows.pitch == 1 == self.columns.pitch
        in_strokes = self.cut and not self.even and _STROKES[0] < other.rows.pitch / self.rows.pitch < _STROKES[1]
        on_page = self.framed and self.rows.pitch < ACCIDENTAL
        if other.in_doubt and (plain or in_strokes or on_page or (other.believed and self.like(other))):
            return True
        if self.believed and not self.framed:
            # What it saves was weighed already. Of how many cells lie at the ends little tells.
            native = other.rows.pitch == 1 == other.columns.pitch
            return other.leaves < self.leaves + (_NEARLY_AS_WELL if native else _AT_THE_ENDS)
        saves = (self.leaves - self.price) - (other.leaves - other.price)
        if other.framed and not plain and other.rows.pitch < _STROKES[1] * self.rows.pitch:
            # Parts of these cells, the margin left out.
            return False
        if self.cut and other.framed and self.like(other):
            # The same cells, but for how many of their margin are told.
            return False
        if other.leaves < self.leaves + _NEARLY_AS_WELL or (plain and saves > RIVAL):
            return True
        if other.rows.pitch == 1 == other.columns.pitch:
            # By their places alone such cells are to be believed beside one pixel a cell.
            return other.nats < self.nats + _NEARLY_AS_WELL
        if self.framed and self.even and self.like(other):
            # Margins so narrow that cells of nearly that pitch fill the picture with as much to be told.
            return saves > -_NEARLY_AS_WELL
        if self.framed and not (self.even or other.even or other.framed):
            # The margin's own width may be a whole number of cells by their design as well as by chance.
            return max(self.rows.pitch, other.rows.pitch) < _HARDLY_TOLD
        uneven = not (plain or self.even or other.even or self.framed or other.framed)
        barely = min(self.rows.pitch, other.rows.pitch) < ACCIDENTAL
        # Strokes of two cells explain themselves as one cell each, all but those that are not.
        strokes = _STROKES[0] < other.rows.pitch / self.rows.pitch < _STROKES[1]
        return uneven and barely and saves > -(_OF_STROKES if strokes else _NEARLY_AS_EVEN) and not self._times(other)

    def _times(self, other: Cells) -> bool:
        """Whether each cell is a whole number of the other's, but for one at the end: any picture is explained by parts
        of its cells."""
        pairs = ((self.rows, other.rows), (self.columns, other.columns))
        return all(
            two.count > 1.5 * one.count and min(two.count % one.count, -two.count % one.count) <= 1
            for one, two in pairs
        )

    def like(self, other: Cells) -> bool:
        """Whether these cells are those of the other reading, but for how many there are around."""
        pairs = ((self.rows, other.rows), (self.columns, other.columns))
        return all(abs(one.pitch / two.pitch - 1) * one.count < _PART for one, two in pairs)

    @property
    def small(self) -> bool:
        """Whether some of its cells are a single pixel wide."""
        return min(self.rows.pitch, self.columns.pitch) < ONE_OR_TWO

    @property
    def even(self) -> bool:
        """Whether every cell measures the same whole number of pixels both ways."""
        return self.rows.pitch == self.columns.pitch and self.rows.pitch.is_integer()


def nats_of(cells: Cells) -> float:
    return cells.nats


def leaves_of(cells: Cells) -> float:
    return cells.leaves


def cells_of(
    rows: Axis, columns: Axis, down: Places, across: Places, *, price: float = 0.0, cut: bool = False
) -> Cells:
    """The reading of such axes in a picture that changes ``down`` and ``across`` there."""
    told = nats_told(rows.count, down) + nats_told(columns.count, across)
    return Cells(rows, columns, cut, False, told + price, price)


def nats_told(count: int, changes: Places) -> float:
    """The logarithm of in how many ways so many changes may lie on the sides between so many cells."""
    places, seen = max(count - 1, len(changes)), len(changes)
    return lgamma(places + 1) - lgamma(seen + 1) - lgamma(places - seen + 1)
