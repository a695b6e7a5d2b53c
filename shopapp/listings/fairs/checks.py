"""For `manage.py verify`: fairs whose hours are not those of their days, papers that are not what was asked for."""

from __future__ import annotations

import hashlib

from shopapp.listings.models import Fair, PiecePaper

from .readers import hours_by_day


def hours_that_do_not_add_up() -> list[str]:
    sums = ((fair, sum(hours_by_day(fair).values())) for fair in Fair.objects.order_by("pk"))
    return [
        f"Fair {fair.pk} has {fair.minutes} minutes, its days {days}." for fair, days in sums if fair.minutes != days
    ]


def papers_that_are_not_as_asked() -> list[str]:
    papers = PiecePaper.objects.order_by("pk").values_list("pk", "says", "sha256")
    return [f"Paper {pk} is not what was asked for." for pk, says, sha256 in papers if _hash(says) != sha256]


def _hash(says: str) -> str:
    return hashlib.sha256(says.encode()).hexdigest()
