"""Marks short enough to chalk on a board: a letter of the wood and a number; what is split off adds a letter."""

from __future__ import annotations

import re
from string import ascii_lowercase

from shopapp.lumber.models import StockPiece

LONGEST = 8
_NUMBERED = re.compile(r"[A-Z](\d+)")


def next_marks(wood: str, count: int) -> list[str]:
    """``count`` marks that nobody has. Numbers run through all woods, so that a number alone finds a piece."""
    highest = 0
    for mark in StockPiece.objects.values_list("mark", flat=True).iterator():
        if match := _NUMBERED.match(mark):
            highest = max(highest, int(match[1]))
    return [f"{wood[0].upper()}{highest + i}" for i in range(1, count + 1)]


def split_marks(mark: str, wood: str, count: int) -> list[str]:
    """Marks for what is split off ``mark``: W7a, W7b; a new number where that would grow too long to chalk."""
    if len(mark) >= LONGEST or count > len(ascii_lowercase):
        return next_marks(wood, count)
    taken = set(StockPiece.objects.filter(mark__startswith=mark).values_list("mark", flat=True))
    free = [mark + letter for letter in ascii_lowercase if mark + letter not in taken]
    return free[:count] if len(free) >= count else next_marks(wood, count)
