"""What the week's page shows, in a number of queries that does not grow with it."""

from __future__ import annotations

from dataclasses import dataclass
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
    """A day of the coming weeks with what is booked on it."""

    day: Day
    bookings: list[Booking]
    is_today: bool


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
        shown = [
            FallingDay(day, bookings.get(day.day, []), day.day == today)
            for day in days[start : start + 7]
            if day.day >= today and (day.hours or day.different or day.day in bookings)
        ]
        minutes = sum(hours.ends - hours.starts for one in shown for hours in one.day.hours)
        booked = sum(booking.ends - booking.starts for one in shown for booking in one.bookings)
        weeks.append(FallingWeek(days[start].day, shown, minutes, booked))
    return weeks
