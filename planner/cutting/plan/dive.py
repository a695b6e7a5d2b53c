"""From a relaxation to a whole plan in one go: cuts are fixed one after another, and what is left is priced anew.

Boards first, then rough lengths, then strips: the one nearest to being whole is made whole, and columns are sought for
the parts that are then still wanted. What fits the last parts is thus found when they are the last.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from math import floor

from planner.cutting.plan.boxes import WHOLE, Box
from planner.cutting.plan.columns import BoardCol, RoughCol, StripCol
from planner.cutting.plan.growing import grow
from planner.cutting.plan.master import Column, Master
from planner.cutting.plan.pricing import Pricing

# Relaxations solved after each cut that is fixed, at the most.
_ROUNDS = 4
# A cut this near to being made once more is made once more, together with others as near.
_NEARLY = 0.85


def dive(
    master: Master, box: Box, keep_going: Callable[[], bool], turns: int = 0
) -> Generator[None, None, dict[Column, int]]:
    """How many of which columns make a whole plan near what the ``box`` holds; empty where it comes to nothing.

    Where the n-th bit of ``turns`` is set, the n-th cut to be fixed is the second best one, so that every number of
    turns is another way down (limited discrepancy search; W. D. Harvey and M. L. Ginsberg, 1995, from memory).
    """
    held: dict[Column, int] = {}
    fixed = 0
    master.limit(box)
    try:
        while keep_going():
            left = _left(held, master)
            relaxed = master.relax()
            for _ in range(_ROUNDS):
                pricing = Pricing(master.problem, relaxed.parts, relaxed.paid, left)
                if relaxed.missing == float("inf") or not grow(master, relaxed, pricing, box.high):
                    break
                relaxed = master.relax()
            yield
            if relaxed.missing > WHOLE:
                break
            use = {column: much for column, much, _ in master.in_use()}
            more = _next(use, held, bool(turns >> fixed & 1))
            fixed += 1
            if not more:
                return {column: round(much) for column, much in use.items() if round(much) > 0}
            for column, times in more.items():
                held[column] = times
                master.hold(column, times)
    finally:
        for column in held:
            master.hold(column, 0)
    return {}


def _left(held: dict[Column, int], master: Master) -> list[int]:
    """Pieces of each part the cuts that are fixed leave wanted."""
    left = list(master.problem.demand)
    for column, times in held.items():
        if isinstance(column, StripCol):
            start = master.problem.first_row[column.section]
            for i, count in enumerate(column.counts):
                left[start + i] -= count * times
    return [max(count, 0) for count in left]


def _next(use: dict[Column, float], held: dict[Column, int], second: bool) -> dict[Column, int]:
    """The cuts to fix now and how often each is made; none where all are whole. ``second`` asks for the second best."""
    for level in (BoardCol, RoughCol, StripCol):
        mine = {column: much for column, much in use.items() if isinstance(column, level)}
        open_ = {column: much - floor(much + WHOLE) for column, much in mine.items() if abs(much - round(much)) > WHOLE}
        if not open_:
            continue
        more = {c: floor(much + WHOLE) for c, much in mine.items() if floor(much + WHOLE) > held.get(c, 0)}
        ranked = sorted(open_, key=lambda column: -open_[column])
        first = ranked[1] if second and len(ranked) > 1 else ranked[0]
        for column, part in open_.items():
            if column == first or (part > _NEARLY and level is StripCol):
                more[column] = floor(mine[column] + WHOLE) + 1
        return more
    return {}
