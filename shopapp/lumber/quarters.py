"""Rough thickness as the trade writes it: in quarters of an inch."""

from __future__ import annotations

import re

from planner.measures import Length, MeasureError, parse_length


def read_thickness(text: str, unit: str) -> Length:
    """A thickness in quarters (4/4, 5/4, 8/4), or as a length whose bare number is in ``unit``.

    >>> read_thickness("5/4", "mm").inches
    Fraction(5, 4)
    """
    if match := re.fullmatch(r"\s*(\d{1,2})\s*/\s*4\s*", text):
        if int(match[1]) < 2:
            raise MeasureError(f"“{text}” is thinner than stock is sold by quarters.", mend="Write 4/4, 5/4, 8/4 …")
        return Length.of_inches(f"{match[1]}/4")
    length = parse_length(text, unit)
    length.nm  # noqa: B018 - refuses, in words, what could not be kept exactly
    return length
