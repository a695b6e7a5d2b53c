"""What wood a job needs, as its plan's record says."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from planner.measures import board_feet
from shopapp.plans.models import Plan

_MM3_PER_M3 = 10**9


def needs_of(plan: Plan | None) -> dict[str, Fraction]:
    """Board feet to saw of each wood, for all boards of the plan."""
    if plan is None:
        return {}
    return {wood["wood"]: feet_in(wood["gross"]) for wood in plan.record["woods"]}


def feet_in(figure: Mapping) -> Fraction:
    """Board feet in a figure of a record, which is in them or in cubic metres."""
    amount = Fraction(figure["value"][1])
    return amount if figure["unit"] == "bf" else board_feet(amount * _MM3_PER_M3)
