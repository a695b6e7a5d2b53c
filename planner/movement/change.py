"""How much one size of a piece changes when the wood's moisture does.

Between 6 and 14 % the change is D · C · (M_F - M_I), Equation 13-2 of the Wood Handbook (FPL-GTR-190, chapter 13, with
the coefficients of Table 13-5); outside it Equation 13-3 takes the total shrinkage instead, as if it were even between
fibre saturation and dry. Both are straight lines where wood is not one, and a single board may differ much from its
species' number.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from planner.errors import PlannerError
from planner.measures import Length
from planner.woods import Wood, coefficient_from_shrinkage
from planner.woods.mass import FIBRE_SATURATION

# Percent of moisture content between which Table 13-5 holds.
TABLE_FROM, TABLE_TO = Fraction(6), Fraction(14)


class MovementError(PlannerError):
    """A change of moisture or a wood the published values say nothing about."""


@dataclass(frozen=True, slots=True)
class Change:
    """``by`` how much ``size`` grows (shrinks, below nought), by ``rule``: the handbook's equation in words."""

    size: Length
    by: Length
    rule: str


def size_change(size: Length, coefficient: Fraction, first: Fraction, then: Fraction) -> Length:
    """``size`` · ``coefficient`` · (``then`` - ``first``), moisture in percent. The handbook's fir, from 8 to 11 %:

    >>> size_change(Length.of_mm(232), Fraction("0.00245"), Fraction(8), Fraction(11))
    Length('1.705 mm')
    """
    return size * (coefficient * (then - first))


def change_of(size: Length, wood: Wood, first: Fraction, then: Fraction, *, quartered: bool = False) -> Change:
    """What a size across the grain of ``wood`` does between ``first`` and ``then`` percent of moisture.

    Tangential unless the piece is ``quartered`` (radial then): the larger of the two where nothing is known. Nothing
    changes above fibre saturation. Raises MovementError for moisture below 0 and for a wood nothing was found of.
    """
    if min(first, then) < 0:
        raise MovementError("No wood has less than no moisture.", mend="Write percent from 0.", field="moisture")
    way = "radial" if quartered else "tangential"
    first, then = (min(value, FIBRE_SATURATION) for value in (first, then))
    coefficient = wood.c_radial if quartered else wood.c_tangential
    if coefficient is not None and all(TABLE_FROM <= value <= TABLE_TO for value in (first, then)):
        by = size_change(size, coefficient, first, then)
        return Change(size, by, f"size × {float(coefficient):.5f} ({way}) × change of moisture, Wood Handbook Eq. 13-2")
    shrinkage = wood.shrink_radial if quartered else wood.shrink_tangential
    if shrinkage is None:
        raise MovementError(
            f"Nothing was found of how {wood.name} moves.", mend="Choose another wood, or leave it out of the sum."
        )
    by = size * ((then - first) / (FIBRE_SATURATION * 100 / shrinkage - FIBRE_SATURATION + first))
    rule = f"from the total {way} shrinkage, {float(shrinkage):g} %, Wood Handbook Eq. 13-3"
    derived = coefficient_from_shrinkage(shrinkage)
    # The printed number rests on other data for some woods. Half a unit of its last digit is rounding, no more.
    if coefficient is not None and coefficient > derived + Fraction(1, 100_000):
        by = by * (coefficient / derived)
        rule += f", × {float(coefficient / derived):.2f}: the printed coefficient is so much larger than the derived"
    return Change(size, by, rule)
