"""The stretch of days a page of the books is of: a year, or a month of it."""

from __future__ import annotations

from calendar import month_name
from dataclasses import dataclass, replace
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
class Begins:
    """The day a shop's years begin on; ``day`` is one that every month has.

    >>> Begins(4, 6).month_of(date(2026, 4, 5)), Begins(4, 6).month_of(date(2026, 4, 6))
    ((2025, 12), (2026, 1))
    """

    month: int = 1
    day: int = 1

    def year_of(self, on: date) -> int:
        """The year a day is of, named by the one it began in."""
        return on.year - ((on.month, on.day) < (self.month, self.day))

    def month_of(self, on: date) -> tuple[int, int]:
        """The year and which of its twelve months a day is of."""
        year = self.year_of(on)
        return year, (on.year - year) * 12 + on.month - self.month - (on.day < self.day) + 1

    @property
    def is_usual(self) -> bool:
        return (self.month, self.day) == (1, 1)

    @property
    def words(self) -> str:
        return f"{self.day} {month_name[self.month]}"


USUAL = Begins()


@dataclass(frozen=True)
class Period:
    """``month`` is 0 for the whole year, else which of its months, the first that begins with it. A year is named by
    the one it begins in.

    >>> Period(2025).words, Period(2025, 3).words, Period(2025, begins=Begins(4, 6)).words
    ('2025', 'March 2025', '2025/26')
    >>> Period(2025, 12, Begins(4, 6)).words, Period(2025, 1, Begins(7, 1)).words
    ('6 Mar to 5 Apr 2026', 'July 2025')
    """

    year: int
    month: int = 0
    begins: Begins = USUAL

    def _start(self, month: int) -> date:
        """The first day of one of the year's months; the thirteenth is the next year's first."""
        at = self.begins.month + month - 2
        return date(self.year + at // 12, at % 12 + 1, self.begins.day)

    @property
    def first(self) -> date:
        return self._start(self.month or 1)

    @property
    def last(self) -> date:
        return self._start((self.month or 12) + 1) - timedelta(days=1)

    @property
    def before(self) -> date:
        """The day it opens with: the last one before it."""
        return self.first - timedelta(days=1)

    def holds(self, on: date) -> bool:
        return self.first <= on <= self.last

    @property
    def whole(self) -> Period:
        """The year it is of."""
        return replace(self, month=0)

    @property
    def words(self) -> str:
        first, last = self.first, self.last
        if not self.month:
            return str(self.year) if self.begins.is_usual else f"{self.year}/{last.year % 100:02d}"
        if self.begins.day == 1:
            return f"{month_name[first.month]} {first.year}"
        return f"{first.day} {first:%b} to {last.day} {last:%b %Y}"

    @property
    def stem(self) -> str:
        """In a file's name."""
        return f"{self.first:%Y-%m}" if self.month else self.words.replace("/", "-")

    @property
    def short(self) -> str:
        if not self.month:
            return self.words
        return f"{self.first:%b}" if self.begins.day == 1 else f"{self.first.day} {self.first:%b}"

    @property
    def months(self) -> list[Period]:
        return [replace(self, month=month) for month in range(1, 13)]

    @property
    def address(self) -> str:
        return reverse("books:month", args=[self.year, self.month]) if self.month else self.year_address

    @property
    def year_address(self) -> str:
        return reverse("books:year", args=[self.year])
