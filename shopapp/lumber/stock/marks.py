"""Marks short enough to chalk on a board: a letter of the wood and a number; what is split off adds a letter."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from itertools import chain
from string import ascii_lowercase

from shopapp.lumber.models import StockPiece

LONGEST = 8
_NUMBERED = re.compile(r"[A-Z](\d+)")


def next_marks(woods: Sequence[str], *, besides: Collection[str] = ()) -> list[str]:
    """A mark for a piece of each of ``woods`` that nobody has, nor ``besides``. Numbers run through all woods, so that
    a number alone finds a piece."""
    highest = 0
    for mark in chain(StockPiece.objects.values_list("mark", flat=True).iterator(), besides):
        if match := _NUMBERED.match(mark):
            highest = max(highest, int(match[1]))
    return [f"{wood[0].upper()}{highest + i}" for i, wood in enumerate(woods, start=1)]


def taken_marks(marks: Collection[str]) -> set[str]:
    """Those of ``marks`` that a piece has already. One query a thousand."""
    asked, taken = list(marks), set()
    for start in range(0, len(asked), 1000):
        found = StockPiece.objects.filter(mark__in=asked[start : start + 1000])
        taken.update(found.values_list("mark", flat=True))
    return taken


def split_marks(mark: str, wood: str, count: int) -> list[str]:
    """Marks for what is split off ``mark``: W7a, W7b; a new number where that would grow too long to chalk."""
    if len(mark) >= LONGEST or count > len(ascii_lowercase):
        return next_marks([wood] * count)
    taken = set(StockPiece.objects.filter(mark__startswith=mark).values_list("mark", flat=True))
    free = [mark + letter for letter in ascii_lowercase if mark + letter not in taken]
    return free[:count] if len(free) >= count else next_marks([wood] * count)
