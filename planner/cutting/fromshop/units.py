"""The working unit of a cut job: chosen so that lengths are whole numbers of it, else rounded to the safe side.

What adds up along a strip or across a rough length (parts, kerfs, oversizes, steps) decides the unit; what only limits
it is rounded to the safe side in that unit, which loses nothing: a sum of whole numbers is at most 12.7 exactly where
it is at most 12. Stock and limits above go down, trims, grip and limits below go up.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from planner.cutting.plan import CutPlanError
from planner.measures import Length
from planner.shop import Shop

# No finer: a plan's work grows with how many units a strip holds. Common practice of this house, no source.
FINEST = Length.of_mm("0.01")
# Into how many parts a step is divided at the finest where kerfs are added to steps.
_PARTS = 50
_WRITTEN = re.compile(r"(\d+)(?:/(\d+))? (mm|in)")


def common(lengths: Iterable[Length]) -> Length:
    """The largest unit every one of ``lengths`` is a whole number of; lengths of nought are passed over.

    >>> mm, inch = Length.of_mm, Length.of_inches
    >>> common([mm("19.9"), mm(3), mm(5)]), common([inch("3/4"), inch("1/8"), mm(0)]).inches
    (Length('0.1 mm'), Fraction(1, 8))
    """
    parts = [length.mm for length in lengths if length]
    if not parts:
        return Length.of_mm(1)
    below = lcm(*(part.denominator for part in parts))
    return Length(Fraction(gcd(*(part.numerator * (below // part.denominator) for part in parts)), below))


def unit_for(set_by_shop: Iterable[Length], along: Iterable[Length], across: Iterable[Length]) -> Length:
    """The unit of a job: the largest that holds everything exactly, unless it is finer than a hundredth of a
    millimetre. Then one that holds the shop's own steps and kerfs ``set_by_shop`` and what lies ``along`` a strip,
    with the widths ``across`` rounded up to it; or if that is too fine as well, an even part of the steps and kerfs
    that is no coarser than a hundredth of a millimetre, everything else rounded up.

    >>> mm, inch = Length.of_mm, Length.of_inches
    >>> unit_for([inch("1/8"), inch("1/4")], [inch("0.746")], [inch("97/128")]).inches
    Fraction(1, 1000)
    >>> unit_for([inch("1/8"), inch("1/4")], [mm("19.997")], []).inches
    Fraction(1, 2544)
    """
    steps, lengths = tuple(set_by_shop), tuple(along)
    for exact in (common((*steps, *lengths, *across)), common((*steps, *lengths))):
        if exact >= FINEST:
            return exact
    base = common(steps)
    return base / ceil(base / FINEST) if base >= FINEST else FINEST


def planned_kerf(kerf: Length, step: Length) -> Length:
    """The crosscut kerf a job goes by: as it is, or where it and the step rough lengths are measured in have no part of
    a fiftieth of the step in common, the next such part up. A tenth of a millimetre at the most for a step of 5 mm;
    without it a search would add up millions of places along a board, most of them finer than a saw cuts.

    >>> mm, inch = Length.of_mm, Length.of_inches
    >>> planned_kerf(mm(3), mm(5)), planned_kerf(inch("1/8"), inch("1/4")).inches, planned_kerf(inch("1/8"), mm(5))
    (Length('3 mm'), Fraction(1, 8), Length('3.2 mm'))
    """
    part = step / _PARTS
    return kerf if common((kerf, step)) >= part else part * Fraction(ceil(kerf / part))


def unit_text(unit: Length) -> str:
    """The unit as a cut file names it, exact: in millimetres or inches, whichever is the rounder fraction.

    >>> unit_text(Length.of_mm("0.05")), unit_text(Length.of_inches("1/64"))
    ('1/20 mm', '1/64 in')
    """
    mm, inches = unit.mm, unit.inches
    in_mm = (mm.denominator, mm.numerator) <= (inches.denominator, inches.numerator)
    return f"{mm} mm" if in_mm else f"{inches} in"


def unit_of(text: str) -> Length:
    """The unit a cut file names. Raises CutPlanError for what is none; ``field`` is "unit".

    >>> unit_of("1/64 in") * 96
    Length('38.1 mm')
    """
    match = _WRITTEN.fullmatch(text.strip())
    if match is None or not int(match[1]) or not int(match[2] or 1):
        raise CutPlanError(
            f"“{text}” is no unit of length this house writes.", mend="Write it like 1/20 mm or 1/64 in.", field="unit"
        )
    size = Fraction(int(match[1]), int(match[2] or 1))
    return Length.of_mm(size) if match[3] == "mm" else Length.of_inches(size)


def length_of(units: int, unit: Length) -> Length:
    """So many units, as a length."""
    return unit * units


def units_up(length: Length, unit: Length) -> int:
    """Whole units, no fewer than the length has: parts, kerfs, trims, least sizes."""
    return ceil(length / unit)


def units_down(length: Length, unit: Length) -> int:
    """Whole units, no more than the length has: stock and greatest sizes."""
    return floor(length / unit)


def says_in(unit: Length, shop: Shop) -> Callable[[int], str]:
    """Units said as the shop writes lengths, for the sentences of the planner."""
    return lambda units: shop.says(length_of(units, unit))
