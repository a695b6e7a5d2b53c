"""The evenings of a kept timetable, booked in the week for as long as it counts."""

from __future__ import annotations

from django.utils import timezone

from shopapp.plans.models import KeptTimetable
from shopapp.schedule.actions import book_anew
from shopapp.schedule.models import Booking
from shopapp.schedule.planning import days_of

from . import planning


def book(kept: KeptTimetable, before: tuple[str, ...] = ()) -> None:
    """Part of the transaction that keeps it; what was booked under its key, those ``before``, and those of what is made
    with it is free again from today on."""
    since = timezone.localdate()
    rows = [
        Booking(on=day, starts=starts, ends=ends, words="making")
        for day, starts, ends in days_of(kept.first, planning.hands_in(kept.form))
    ]
    for key in (*before, *(board["key"] for board in kept.boards[1:])):
        book_anew(key=key, label=kept.label, bookings=[], since=since)
    book_anew(key=kept.key, label=kept.label, bookings=rows, since=since)
