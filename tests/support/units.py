"""A second opinion on units (pint), exact; its table is long and is read once, when a test first asks."""

from __future__ import annotations

from fractions import Fraction

import pint

UNITS = pint.LazyRegistry(kwargs={"non_int_type": Fraction})
