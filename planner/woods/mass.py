"""What wood weighs, from its published specific gravity and its moisture.

Equations 4-9 to 4-14 of the Wood Handbook (FPL-GTR-282, chapter 4): specific gravity is ovendry mass over the volume at
some moisture content, relative to water, so it rises as the wood shrinks; density adds the water again.
"""

from __future__ import annotations

from fractions import Fraction

from planner.woods import Wood

# Percent. Above fibre saturation wood does not swell; a meter's usual reading for wood dried in the air is near 12.
FIBRE_SATURATION = Fraction(30)
AIR_DRY = Fraction(12)


def density(found: Wood, moisture: Fraction = AIR_DRY) -> Fraction | None:
    """Kilograms a cubic metre at ``moisture`` percent, nought to a hundred; None for a wood of which nothing was found.

    Single boards differ from the published mean by a tenth and more.

    >>> from planner.woods import wood
    >>> float(density(wood("sycamore")))
    548.8
    """
    gravity = _gravity(found, min(moisture, FIBRE_SATURATION))
    return None if gravity is None else 1000 * gravity * (1 + moisture / 100)


def mass_kg(found: Wood, volume_mm3: Fraction, moisture: Fraction = AIR_DRY) -> Fraction | None:
    """What ``volume_mm3`` of the wood weighs at ``moisture`` percent."""
    per_m3 = density(found, moisture)
    return None if per_m3 is None else per_m3 * volume_mm3 / 10**9


def _gravity(found: Wood, moisture: Fraction) -> Fraction | None:
    """Specific gravity on the volume at ``moisture`` percent, from that at 12 %, or from the middle of a range of
    densities air dry."""
    total, at_12 = found.shrink_volumetric, found.sg_12
    if at_12 is None and found.air_dry is not None:
        at_12 = sum(found.air_dry, Fraction(0)) / 2 / 1000 / (1 + AIR_DRY / 100)
    if at_12 is None or total is None:
        return None
    return at_12 * _left(total, AIR_DRY) / _left(total, moisture)


def _left(shrinkage: Fraction, moisture: Fraction) -> Fraction:
    """Of the green volume, what is left when it has shrunk to ``moisture`` percent."""
    return 1 - shrinkage * (1 - moisture / FIBRE_SATURATION) / 100
