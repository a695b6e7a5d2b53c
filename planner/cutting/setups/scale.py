"""What a scale can be set to, beside the exact distance."""

from __future__ import annotations

from planner.measures import ZERO, Length


def below(exact: Length, step: Length) -> Length:
    """The largest mark of a scale in steps of ``step`` that is no more than ``exact``; exact itself without a scale.

    >>> below(Length.of_mm("44.9"), Length.of_mm("0.5"))
    Length('44.5 mm')
    """
    return exact if step <= ZERO else step * (exact.mm // step.mm)


def nearest(exact: Length, step: Length) -> Length:
    """The nearest mark of a scale in steps of ``step``, the larger of two as near; exact itself without a scale.

    >>> nearest(Length.of_mm("44.9"), Length.of_mm("0.5")), nearest(Length.of_inches("3/8"), Length.of_inches("1/64"))
    (Length('45 mm'), Length('9.525 mm'))
    """
    low = below(exact, step)
    return low if low == exact or exact - low < low + step - exact else low + step
