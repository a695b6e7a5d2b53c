"""The stretch of days a page of the books is of: a year, or a month of it."""

from __future__ import annotations

from calendar import month_name, monthrange
from dataclasses import dataclass
from datetime import date, timedelta

from django.urls import reverse

FIRST_YEAR, LAST_YEAR = 1900, 9000


def a_day(text: str, otherwise: date) -> date:
    """The day that is written, where it is one of these years."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return otherwise
    return day if FIRST_YEAR <= day.year <= LAST_YEAR else otherwise


@dataclass(frozen=True)
class Period:
    """``month`` is 0 for the whole year."""

    year: int
    month: int = 0

    @property
    def first(self) -> date:
        return date(self.year, self.month or 1, 1)

    @property
    def last(self) -> date:
        month = self.month or 12
        return date(self.year, month, monthrange(self.year, month)[1])

    @property
    def before(self) -> date:
        """The day it opens with: the last one before it."""
        return self.first - timedelta(days=1)

    def holds(self, on: date) -> bool:
        return self.first <= on <= self.last

    @property
    def words(self) -> str:
        return f"{month_name[self.month]} {self.year}" if self.month else str(self.year)

    @property
    def stem(self) -> str:
        """In a file's name."""
        return f"{self.year}-{self.month:02d}" if self.month else str(self.year)

    @property
    def short(self) -> str:
        return month_name[self.month][:3] if self.month else str(self.year)

    @property
    def months(self) -> list[Period]:
        return [Period(self.year, month) for month in range(1, 13)]

    @property
    def address(self) -> str:
        return reverse("books:month", args=[self.year, self.month]) if self.month else self.year_address

    @property
    def year_address(self) -> str:
        return reverse("books:year", args=[self.year])
