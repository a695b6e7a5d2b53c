"""Columns where they pay: at the prices of a solved relaxation, every cut that saves is added to it."""

from __future__ import annotations

from collections.abc import Sequence

from planner.cutting.plan.master import Master, Relaxed
from planner.cutting.plan.pricing import Pricing
from planner.cutting.plan.problem import Family
from planner.cutting.plan.terms import SCALE

# A column has to save at least this much, in 1/SCALE of a money unit, to be worth having.
_SAVES = SCALE // 2


def grow(master: Master, relaxed: Relaxed, pricing: Pricing, high: Sequence[int]) -> bool:
    """Add every column that saves at these prices, of boards of the kinds ``high`` allows; True if there was one."""
    added = False
    fresh: set[tuple[Family, int]] = set()
    for i, kind in enumerate(master.problem.kinds):
        if high[i] and pricing.board(kind) - kind.cost * SCALE + relaxed.boards[i] > _SAVES:
            column = pricing.board_col(i)
            if master.add(column):
                added = True
                fresh |= {(one.family, one.step) for one in column.steps}
    open_ = {family for i, kind in enumerate(master.problem.kinds) if high[i] for family in kind.families}
    for key in sorted(fresh | {key for key in master.rough_rows if key[0] in open_}):
        family, step = key
        if int(pricing.rough(family)[step]) > relaxed.rough.get(key, 0) + _SAVES or key in fresh:
            rough = pricing.rough_col(family, step)
            if (rough.strips or family.layers > 1) and master.add(rough):
                added = True
    stuffs = {family.stuff for family in open_}
    for section, stuff, step in sorted(key for key in master.strip_rows if key[1] in stuffs):
        worth_it = relaxed.strips.get((section, stuff, step), 0) + _SAVES
        if int(pricing.strip(section, stuff)[step]) > worth_it and master.add(pricing.strip_col(section, stuff, step)):
            added = True
    return added
