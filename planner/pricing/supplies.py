"""What boards use up besides wood: glue by area, spread and loss; abrasives by area, grits; finish by area, coats."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from planner.figures import Figure, Term
from planner.pricing.rates import Rates, rate_term

# Common practice, no source: from 80 to 320, and the grain raised with water once after 120.
USUAL_GRITS = (80, 120, 180, 240, 320)


@dataclass(frozen=True, slots=True)
class Supplies:
    """``glue`` in grams, ``abrasives`` in whole discs or sheets, ``finish`` in millilitres, for all boards together."""

    glue: Figure
    abrasives: Figure
    finish: Figure

    def as_record(self) -> dict[str, Any]:
        """JSON-safe and exact."""
        return {name: getattr(self, name).as_record() for name in ("glue", "abrasives", "finish")}


def supplies_of(glue_area_m2: Fraction, finished_area_m2: Fraction, sanded_m2: Fraction, rates: Rates) -> Supplies:
    """What is used up, by the maker's rates; areas are for all boards together, each face counted.

    >>> used = supplies_of(Fraction("0.274"), Fraction("0.441"), Fraction("0.405"), Rates())
    >>> float(used.glue.value), used.abrasives.value, float(used.finish.value)
    (82.2, 15, 44.1)
    """
    return Supplies(_glue(glue_area_m2, rates), _abrasives(sanded_m2, rates), _finish(finished_area_m2, rates))


def _glue(area: Fraction, rates: Rates) -> Figure:
    return Figure(
        area * rates.glue_g_per_m2 * (1 + rates.glue_loss),
        "g",
        "joint area × spread × (1 + loss)",
        terms=(
            Term("Joint area", Figure(area, "m2", "every joint counted once")),
            rate_term("Spread", rates, "glue_g_per_m2", "g/m2"),
            rate_term("Loss", rates, "glue_loss", "share"),
        ),
    )


def _abrasives(area: Fraction, rates: Rates) -> Figure:
    discs = ceil(rates.grits * area / rates.abrasive_m2_each) if rates.grits else 0
    return Figure(
        discs,
        "disc",
        "grits × area ÷ area one lasts, rounded up",
        terms=(
            rate_term("Grits", rates, "grits", "grits"),
            Term("Sanded", Figure(area, "m2", "both faces")),
            rate_term("One lasts", rates, "abrasive_m2_each", "m2"),
        ),
    )


def _finish(area: Fraction, rates: Rates) -> Figure:
    return Figure(
        area * rates.finish_coats * rates.finish_l_per_m2 * 1000,
        "ml",
        "area of both faces × coats × litres per m²",
        terms=(
            Term("Both faces", Figure(area, "m2", "length × height of the finished board, twice")),
            rate_term("Coats", rates, "finish_coats", "coats"),
            rate_term("A coat takes", rates, "finish_l_per_m2", "l/m2"),
        ),
    )
