"""What the week's page shows, in a number of queries that does not grow with it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from .models import Booking, SessionException, ShopSession
from .planning import Day, days_between

WEEKS_SHOWN = 6


@dataclass(frozen=True)
class Weekday:
    name: str
    sessions: list[ShopSession]


@dataclass(frozen=True)
class FallingDay:
    """A day of the coming weeks with what is booked on it, and those that follow it alike, to ``last``."""

    day: Day
    bookings: list[Booking]
    is_today: bool
    last: date

    @property
    def within_a_month(self) -> bool:
        return self.day.day.month == self.last.month

    def is_followed_alike_by(self, other: FallingDay) -> bool:
        plain = not (self.bookings or other.bookings or self.is_today or other.is_today)
        next_day = other.day.day == self.last + timedelta(days=1)
        return plain and next_day and _as_said(self.day) == _as_said(other.day)


@dataclass(frozen=True)
class FallingWeek:
    """The days of a week that have hours, are different or are booked; ``minutes`` in the shop, ``booked`` of them."""

    first: date
    days: list[FallingDay]
    minutes: int
    booked: int

    @property
    def last(self) -> date:
        return self.first + timedelta(days=6)


def the_week() -> list[Weekday]:
    """All seven, with their sessions. One query."""
    week: dict[int, list[ShopSession]] = {day: [] for day in ShopSession.Weekday.values}
    for session in ShopSession.objects.all():
        week[session.weekday].append(session)
    return [Weekday(day.label, week[day.value]) for day in ShopSession.Weekday]


def different_days(today: date) -> list[SessionException]:
    """Those that have not passed."""
    return list(SessionException.objects.filter(last__gte=today))


def coming_weeks(today: date) -> list[FallingWeek]:
    """Six weeks, the one that holds ``today`` from today on. Three queries."""
    monday = today - timedelta(days=today.weekday())
    days = days_between(monday, WEEKS_SHOWN)
    bookings: dict[date, list[Booking]] = {}
    for booking in Booking.objects.filter(on__gte=today, on__lt=monday + timedelta(weeks=WEEKS_SHOWN)):
        bookings.setdefault(booking.on, []).append(booking)
    weeks = []
    for start in range(0, len(days), 7):
        falling = [
            FallingDay(day, bookings.get(day.day, []), day.day == today, day.day)
            for day in days[start : start + 7]
            if day.day >= today and (day.hours or day.different or day.day in bookings)
        ]
        minutes = sum(hours.ends - hours.starts for one in falling for hours in one.day.hours)
        booked = sum(booking.minutes for one in falling for booking in one.bookings)
        weeks.append(FallingWeek(days[start].day, _together(falling), minutes, booked))
    return weeks


def _together(falling: list[FallingDay]) -> list[FallingDay]:
    """Days that follow each other alike, as one line."""
    lines: list[FallingDay] = []
    for one in falling:
        if lines and lines[-1].is_followed_alike_by(one):
            lines[-1] = replace(lines[-1], last=one.last)
        else:
            lines.append(one)
    return lines


def _as_said(day: Day) -> tuple:
    return day.different, day.reason, [(hours.from_to, hours.people) for hours in day.hours]
