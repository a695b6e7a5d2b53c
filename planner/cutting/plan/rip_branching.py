"""What of a relaxation is in doubt beyond its boards, and by which of it plans are best cut apart.

With the boards whole, the relaxation still mixes ways to cut them: a third of a rough length ripped into eight strips
and two thirds of one ripped into five whose edge is kept. What a sawyer would count - rough lengths ripped, edges and
tails kept, strips of a section, on lengths from some length on - then has a fraction.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from planner.cutting.plan.boxes import WHOLE, Box, Count
from planner.cutting.plan.columns import BoardCol, RoughCol, StripCol
from planner.cutting.plan.master import Column, Master
from planner.cutting.plan.problem import Problem

# Counts that are tried before one is chosen, and how far from whole one has to be.
_TRIED = 5


def counted(in_use: Iterable[tuple[Column, float, int]], problem: Problem) -> dict[Count, float]:
    """Every count of what is used, each from every length on that occurs."""
    found: dict[tuple[str, int], dict[int, float]] = defaultdict(lambda: defaultdict(float))
    several = len({section.thickness for section in problem.sections}) > 1
    for column, times, cost in in_use:
        if isinstance(column, RoughCol):
            if not column.strips:
                continue
            found["rough", -1][column.step] += times
            if several:
                found["milled", problem.first_alike(column.strips[0][0])][column.step] += times
            if cost < 0:
                found["edges", -1][column.step] += times
            for section, strips in column.strips:
                found["strips", section][column.step] += strips * times
        elif isinstance(column, StripCol) and cost < 0:
            found["tails", column.section][column.step] += times
        elif isinstance(column, BoardCol):
            for one in column.steps:
                if one.family.layers > 1:
                    found["resawn", problem.first_of(one.family.yields)][one.step] += one.times * times
    counts = {}
    for (what, section), at in found.items():
        total = 0.0
        for step in sorted(at, reverse=True):
            total += at[step]
            counts[Count(what, section, step)] = total
        counts[Count(what, section, 0)] = total
        del counts[Count(what, section, min(at))]
    return counts


def choose(master: Master, box: Box) -> Count | None:
    """The count in doubt that raises the relaxation most on the side where it raises it less, of some that are tried;
    None where nothing is in doubt. ``box.counted`` is filled."""
    box.counted = counted(master.in_use(), master.problem)
    doubtful = [count for count, much in box.counted.items() if abs(much - round(much)) > WHOLE * 100]
    if not doubtful:
        return None

    def order(count: Count) -> tuple[bool, float, Count]:
        much = box.counted[count]
        return count.step > 0, -abs(much - round(much)), count

    tried = sorted(doubtful, key=order)[:_TRIED]
    if len(tried) == 1:
        return tried[0]
    scores = []
    for count in tried:
        values = []
        for child in box.by_count(count):
            master.limit(child)
            values.append(master.relax().value)
        scores.append((min(values), max(values)))
    return max(zip(scores, tried, strict=True), key=lambda one: one[0])[1]
