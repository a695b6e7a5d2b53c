"""From how far a picture of tiles is seen.

An eye of acuity 1.0 tells details apart that subtend one minute of arc: ISO 8596, ophthalmic optics, visual acuity
testing (the standard optotype's gap). Half the acuity needs twice the angle. How near is too near to see more than
tiles is a matter of taste and not told.
"""

from __future__ import annotations

from fractions import Fraction

from planner.errors import PlannerError
from planner.measures import ZERO, Length

LEAST_ANGLE_SOURCE = "ISO 8596: acuity 1.0 tells one minute of arc apart"
# The tangent of one minute of arc.
_MINUTE = Fraction("0.000290888216")
# From where one looks at a screen or a sheet of paper in the hand.
ARM = Length.of_mm(500)


def told_apart_from(tile: Length) -> Length:
    """How far off single tiles are still told apart.

    >>> round(float(told_apart_from(Length.of_mm(17)).mm) / 1000)
    58
    """
    return Length(tile.mm / _MINUTE)


def least_tile(distance: Length) -> Length:
    """The smallest tile told apart from a distance; the other way round of ``told_apart_from``."""
    return Length(distance.mm * _MINUTE)


def as_large_as(size: Length, distance: Length) -> Length:
    """How large a drawing held at arm's length, half a metre, must be to look as large as ``size`` does from afar.

    >>> as_large_as(Length.of_mm(400), Length.of_mm(2000))
    Length('100 mm')
    """
    if distance <= ZERO:
        raise PlannerError("Nothing is seen from no distance.", mend="Write more than nought.", field="distance")
    return size * (ARM.mm / distance.mm)
