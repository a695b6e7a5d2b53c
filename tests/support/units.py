"""A second opinion on units (pint), exact; its table is long and is read once, when a test first asks.

pint's own lazy registry reads it as soon as whoever looks for tests in a module asks whether it is one, in every
process of a run."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pint


@cache
def _units() -> pint.UnitRegistry:
    return pint.UnitRegistry(non_int_type=Fraction)


def quantity(number: int | Fraction, unit: str) -> pint.Quantity:
    return _units().Quantity(number, unit)
