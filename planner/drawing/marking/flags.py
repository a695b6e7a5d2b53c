"""Labels beside a row of places, each tied to its own by a line, none on another and no line through one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.drawing.marking.letters import wide


@dataclass(frozen=True, slots=True)
class Flag:
    """Words that end at ``x``, in the ``row``-th line away from the drawing, 0 the nearest."""

    x: float
    text: str
    row: int


def flags(places: Sequence[tuple[float, str]], size: float, gap: float) -> list[Flag]:
    """Rows for words that end where their place is; ``places`` go from left to right.

    Words stand one row further out than every place before them they reach over, so that nobody's line crosses them:
    the line of a place runs straight to its row, and words reach to the left only.
    """
    made: list[Flag] = []
    for x, text in places:
        begins = x - wide(text, size) - gap
        row = 1 + max((flag.row for flag in made if flag.x > begins), default=-1)
        made.append(Flag(x, text, row))
    return made


def margin_for(places: Sequence[tuple[float, str]], size: float) -> float:
    """How far words reach to the left of nought."""
    return max((wide(text, size) - x for x, text in places), default=0.0)
