"""Hours of a day lie apart: asked before they are written, and again by `manage.py verify`."""

from __future__ import annotations

from itertools import combinations

from .models import SessionException, ShopSession


def lie_over(one: ShopSession | SessionException, other: ShopSession | SessionException) -> bool:
    return one.starts < other.ends and other.starts < one.ends


def clashes(one: SessionException, other: SessionException) -> bool:
    """Whether both speak of a day and cannot both stand."""
    if one.last < other.first or other.last < one.first:
        return False
    return one.is_closed or other.is_closed or lie_over(one, other)


def hours_that_overlap() -> list[str]:
    faults = [
        f"{one} and {other.from_to} lie over each other."
        for one, other in combinations(ShopSession.objects.all(), 2)
        if one.weekday == other.weekday and lie_over(one, other)
    ]
    return faults + [
        f"“{one}” and “{other}” say two things of one day."
        for one, other in combinations(SessionException.objects.all(), 2)
        if clashes(one, other)
    ]
