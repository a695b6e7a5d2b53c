"""Sizes of a board that is to be no longer and no higher than so much, on the scale the saw is read to.

Borders are thought of in tiles, so that a board keeps its looks at every size. Everything is rounded down to the scale,
so that what may not be exceeded is not.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from planner.errors import PlannerError
from planner.measures import ZERO, Length
from planner.shop import Shop


@dataclass(frozen=True, slots=True)
class Shape:
    """How wide the borders are, in tiles: ``side`` at each end of the rows, ``end`` at top and bottom."""

    key: str
    words: str
    side: Fraction
    end: Fraction


# Proportions by eye (common practice, no source).
SHAPES = (
    Shape("wide", "wide borders", Fraction(3), Fraction(2)),
    Shape("narrow", "narrow borders", Fraction(3, 2), Fraction(1)),
    Shape("ends", "borders at top and bottom only", Fraction(0), Fraction(2)),
    Shape("none", "no borders", Fraction(0), Fraction(0)),
)
# The largest tile that is looked at.
MOST_PITCH = Length.of_mm(60)
# How thick a board is made at the most, by what it is for, where the wood would give more (common practice, no source).
THICKNESS = {"wall": Length.of_mm(20), "serving": Length.of_mm(25), "trivet": Length.of_mm(20)}


@dataclass(frozen=True, slots=True)
class Sized:
    """A pitch with its borders and what the finished board then measures."""

    shape: Shape
    pitch: Length
    side_border: Length
    end_border: Length
    length: Length
    height: Length


def sized(rows: int, columns: int, shape: Shape, pitch: Length, scale: Length) -> Sized:
    """The board of a pitch in a shape.

    >>> mm = Length.of_mm
    >>> board = sized(10, 20, SHAPES[0], mm("12.5"), mm("0.5"))
    >>> board.side_border, board.length, board.height
    (Length('37.5 mm'), Length('325 mm'), Length('175 mm'))
    """
    side, end = (_down(pitch * tiles, scale) for tiles in (shape.side, shape.end))
    return Sized(shape, pitch, side, end, pitch * columns + side * 2, pitch * rows + end * 2)


def pitches(
    rows: int,
    columns: int,
    shape: Shape,
    shop: Shop,
    *,
    length: Length | None = None,
    height: Length | None = None,
    most: Length = MOST_PITCH,
) -> tuple[Length, ...]:
    """Every pitch on the shop's scale, the smallest first, at which a board in this shape is no longer than ``length``
    and no higher than ``height``; from the narrowest strip the shop rips up to ``most``. None where none fits.

    >>> mm = Length.of_mm
    >>> fits = pitches(10, 20, SHAPES[3], Shop(), length=mm(250))
    >>> fits[0], fits[-1], len(fits)
    (Length('10 mm'), Length('12.5 mm'), 6)
    """
    scale = shop.saw_scale
    if scale <= ZERO:
        raise PlannerError(
            "The saw's scale has no steps.", mend="Write the finest step it is read to.", field="saw_scale"
        )
    first = -(-shop.narrowest_strip.mm // scale.mm)
    found = []
    for step in range(int(first), int(most.mm // scale.mm) + 1):
        board = sized(rows, columns, shape, scale * step, scale)
        if (length is not None and board.length > length) or (height is not None and board.height > height):
            break
        found.append(scale * step)
    return tuple(found)


def thickness_of(stock: Iterable[Length], use: str, shop: Shop) -> Length:
    """How thick the board is made: what the thinnest of the rough stock gives once it is milled and the blank is
    flattened, rounded down to the scale, and no more than THICKNESS. Raises PlannerError where nothing is left.

    >>> thickness_of([Length.of_inches("5/4"), Length.of_inches(1)], "wall", Shop())
    Length('20 mm')
    >>> thickness_of([Length.of_inches("3/4")], "wall", Shop())
    Length('15 mm')
    """
    left = Length(min(one.mm for one in stock) - shop.milling.mm - shop.flattening.mm)
    given = _down(left, shop.saw_scale)
    if given <= ZERO:
        raise PlannerError("The wood on hand is too thin to be milled.", mend="Choose woods bought thicker.")
    return min(given, THICKNESS.get(use, given))


def _down(length: Length, scale: Length) -> Length:
    return scale * int(length.mm // scale.mm)
