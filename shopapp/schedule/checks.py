"""What `manage.py verify` asks of the week: hours of a day lie apart."""

from __future__ import annotations

from itertools import combinations

from .models import SessionException, ShopSession


def hours_that_overlap() -> list[str]:
    faults = [
        f"{one} and {other.from_to} lie over each other."
        for one, other in combinations(ShopSession.objects.all(), 2)
        if one.weekday == other.weekday and one.starts < other.ends and other.starts < one.ends
    ]
    different = sorted(SessionException.objects.all(), key=lambda row: row.first)
    return faults + [
        f"“{one}” and “{other}” say two things of one day."
        for one, other in combinations(different, 2)
        if clashes(one, other)
    ]


def clashes(one: SessionException, other: SessionException) -> bool:
    """Whether both speak of a day and cannot both stand."""
    if one.last < other.first or other.last < one.first:
        return False
    return one.is_closed or other.is_closed or (one.starts < other.ends and other.starts < one.ends)
