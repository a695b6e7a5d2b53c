"""What a way to cut gives away at given prices: nought for the best there is, more for others.

What a plan costs above the bound those prices prove is the sum of the losses of its cuts and of what its boards and
parts are off the prices' mark; so a plan cheaper than ``bound + most`` holds no cut that loses ``most``.
"""

from __future__ import annotations

from collections.abc import Mapping

from planner.cutting.plan.boxes import Box
from planner.cutting.plan.columns import BoardCol, RoughCol, StripCol
from planner.cutting.plan.master import Column, Row, entries_of
from planner.cutting.plan.pricing import Pricing
from planner.cutting.plan.terms import SCALE


def losses(costs: Mapping[Column, int], box: Box, pricing: Pricing) -> dict[Column, int]:
    """What each column gives away within the ``box``, with the least that must be given away for the wood it takes, in
    1/SCALE of a money unit; ``costs`` as ``cost_of`` them. Columns no other one gives the wood for are left out."""
    found: dict[Column, int] = {}
    # What has to be given away at the least to have one of a row.
    least: dict[Row, int] = {}
    for level in (BoardCol, RoughCol, StripCol):
        for column, cost in costs.items():
            if not isinstance(column, level):
                continue
            rows = [(key, times) for key, times in entries_of(column, pricing.problem) if not isinstance(key, int)]
            wood = [key for key, times in rows if times < 0]
            if isinstance(column, BoardCol):
                if not box.high[column.kind]:
                    continue
                of = pricing.problem.kinds[column.kind]
                before = 0 if box.low[column.kind] else max(of.cost * SCALE - pricing.board(of), 0)
            elif wood[0] in least:
                before = least[wood[0]]
            else:
                continue
            found[column] = loss = before + _loss_of(column, cost, pricing)
            for key, times in rows:
                if times > 0 and loss < least.get(key, loss + 1):
                    least[key] = loss
    return found


def _loss_of(column: Column, cost: int, pricing: Pricing) -> int:
    problem = pricing.problem
    if isinstance(column, BoardCol):
        kind = problem.kinds[column.kind]
        values = {of: pricing.resawn(of) if of.layers > 1 else pricing.rough(of) for of in kind.families}
        value = sum(one.times * int(values[one.family][one.step]) for one in column.steps)
        return pricing.board(kind) - value - (kind.cost - cost) * SCALE
    step, kept = column.step, cost < 0
    if isinstance(column, StripCol):
        start = problem.first_row[column.section]
        value = sum(pricing.prices[start + row] * times for row, times in enumerate(column.counts) if times)
        paid = int(pricing.paid_for("strips", column.section)[step])
        if kept:
            paid += int(pricing.paid_for("tails", column.section)[step])
        return int(pricing.strip(column.section, column.stuff)[step]) - (value - cost * SCALE - paid)
    value = sum(times * int(pricing.strip(section, column.family.stuff)[step]) for section, times in column.strips)
    paid = 0
    if column.strips:
        milled = problem.first_alike(column.strips[0][0])
        paid = int(pricing.paid_for("rough")[step]) + int(pricing.paid_for("milled", milled)[step])
        paid += int(pricing.paid_for("edges")[step]) if kept else 0
    return int(pricing.rough(column.family)[step]) - (value - cost * SCALE - paid)
