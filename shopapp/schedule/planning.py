"""The week as timetables are looked for in: whole slots from the midnight a first day begins with.

Slots count the clock on the wall. In the night a clock is put forward or back an hour of waiting is more or less than
was counted; sessions stand at the hours that were written.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from shopapp.workshop.readers import the_workshop

from .models import Booking, SessionException, ShopSession
from .models.hours import clock

SLOT_MINUTES = 5
Slots = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Hours:
    """One session as it falls, in minutes from the midnight that begins ``day``. ``reason`` is why it is not the
    week's own."""

    day: date
    starts: int
    ends: int
    people: int
    who: str = ""
    reason: str = ""

    @property
    def from_to(self) -> str:
        return f"{clock(self.starts)} to {clock(self.ends)}"


@dataclass(frozen=True, slots=True)
class Day:
    """A day as it falls; ``different`` where an exception speaks of it, with its ``reason``."""

    day: date
    hours: tuple[Hours, ...]
    different: bool
    reason: str


def days_between(first: date, weeks: int) -> list[Day]:
    """Each day of ``weeks`` weeks from ``first`` on, exceptions applied. Two queries."""
    end = first + timedelta(weeks=weeks)
    week: dict[int, list[ShopSession]] = {}
    for session in ShopSession.objects.all():
        week.setdefault(session.weekday, []).append(session)
    different = list(SessionException.objects.filter(first__lt=end, last__gte=first))
    days = []
    for day in (first + timedelta(days=n) for n in range((end - first).days)):
        said = [row for row in different if row.first <= day <= row.last]
        reason = ", ".join(dict.fromkeys(row.reason for row in said if row.reason))
        if said:
            hours = [Hours(day, r.starts, r.ends, r.people, reason=r.reason) for r in said if not r.is_closed]
        else:
            hours = [Hours(day, s.starts, s.ends, s.people, who=s.who) for s in week.get(day.weekday(), [])]
        hours.sort(key=lambda one: one.starts)
        days.append(Day(day, tuple(hours), bool(said), reason))
    return days


def sessions_between(
    first: date, weeks: int, *, people: int | None = None, besides: Collection[str] | None = None
) -> Slots:
    """Sessions of the ``weeks`` weeks from ``first`` on in which at least ``people`` are there (as many as the
    workshop's timetables reckon with, where none is given): (from, to) in slots of five minutes from the midnight
    ``first`` begins with, in order and apart; sessions that touch are one.

    Where ``besides`` is given, what is booked under any key not among them is cut out.
    """
    least = the_workshop().people if people is None else people
    taken: dict[date, list[tuple[int, int]]] = {}
    if besides is not None:
        for booking in Booking.objects.filter(on__gte=first, on__lt=first + timedelta(weeks=weeks)):
            if booking.key not in besides:
                taken.setdefault(booking.on, []).append((booking.starts, booking.ends))
    slots: list[tuple[int, int]] = []
    for day in days_between(first, weeks):
        midnight = (day.day - first).days * 24 * 60
        for hours in day.hours:
            if hours.people < least:
                continue
            for starts, ends in _left_of(hours.starts, hours.ends, taken.get(day.day, [])):
                # A session that does not begin on a slot begins with the next whole one.
                one = -(-(midnight + starts) // SLOT_MINUTES), (midnight + ends) // SLOT_MINUTES
                if slots and slots[-1][1] == one[0]:
                    slots[-1] = slots[-1][0], one[1]
                elif one[0] < one[1]:
                    slots.append(one)
    return tuple(slots)


def _left_of(starts: int, ends: int, taken: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """What is left of an hour's span once what is taken is cut out of it."""
    left = []
    for begins, stops in sorted(taken):
        if stops <= starts or begins >= ends:
            continue
        if begins > starts:
            left.append((starts, begins))
        starts = max(starts, stops)
    return [*left, (starts, ends)] if starts < ends else left


def days_of(first: date, spans: Slots) -> list[tuple[date, int, int]]:
    """Spans of slots counted from the midnight ``first`` begins with, as days and minutes, cut at each midnight: what a
    Booking is made of."""
    parts = []
    for starts, ends in spans:
        begins, stops = starts * SLOT_MINUTES, ends * SLOT_MINUTES
        while begins < stops:
            day, minute = divmod(begins, 24 * 60)
            until = min(stops, (day + 1) * 24 * 60)
            parts.append((first + timedelta(days=day), minute, minute + until - begins))
            begins = until
    return parts
