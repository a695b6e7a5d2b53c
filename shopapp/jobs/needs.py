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
    return {wood["wood"]: _feet(wood["gross"]) for wood in plan.record["woods"]}


def _feet(figure: Mapping) -> Fraction:
    amount = Fraction(figure["value"][1])
    return amount if figure["unit"] == "bf" else board_feet(amount * _MM3_PER_M3)
