"""The columns of the master problem: ways to crosscut a strip, to rip a rough length, to crosscut a board.

They are tuples, for a search asks of millions whether it knows them already; no two kinds have as many fields."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from planner.cutting.plan.problem import Family, Stuff


class StripCol(NamedTuple):
    """Parts out of a strip: ``counts`` by the section's lengths."""

    section: int
    stuff: Stuff
    step: int
    counts: tuple[int, ...]


class RoughCol(NamedTuple):
    """Strips out of a rough length, or out of one layer of it where the ``family`` is resawn: ``strips`` are (section,
    how many); none for one kept whole."""

    family: Family
    step: int
    strips: tuple[tuple[int, int], ...]


class Lengths(NamedTuple):
    """``times`` rough lengths of one ``family``, ``step`` grid steps long, out of the clear stretch so numbered."""

    stretch: int
    family: Family
    step: int
    times: int


class BoardCol(NamedTuple):
    """Rough lengths out of a board of ``kind``: ``steps`` in the order of stretch, family and grid steps. Each gives
    as many pieces to rip as its family has layers."""

    kind: int
    steps: tuple[Lengths, ...]


def board_col(kind: int, lengths: Iterable[tuple[int, Family, int]]) -> BoardCol:
    """The column of rough lengths given one by one as (stretch, family, grid steps)."""
    return BoardCol(kind, tuple(Lengths(*key, times) for key, times in sorted(Counter(lengths).items())))
