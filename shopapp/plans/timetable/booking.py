"""The evenings of a kept timetable, booked in the week for as long as it counts."""

from __future__ import annotations

from collections.abc import Callable, Sequence

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


def give_up(keys: Sequence[str], label: str, in_hand: Callable[[list[str]], set[str]]) -> bool:
    """What is booked under ``keys`` from today on is free again; of what was to be made with it, those ``in_hand`` keep
    the hours of their own steps. Gives whether there was any. Part of the transaction that ends or changes the work."""
    since = timezone.localdate()
    if not Booking.objects.filter(key__in=keys, on__gte=since).exists():
        return False
    for key in keys:
        book_anew(key=key, label=label, bookings=[], since=since)
    kept = KeptTimetable.objects.filter(key__in=keys).first()
    others = {board["key"]: n for n, board in enumerate(kept.boards, start=1) if n > 1} if kept else {}
    # One that has hours of its own was planned alone since.
    alone = set(Booking.objects.filter(key__in=others, on__gte=since).values_list("key", flat=True))
    for key in (in_hand(list(others)) if others else set()) - alone:
        spans = days_of(kept.first, planning.hands_in(kept.form, board=others[key]))
        rows = [Booking(on=day, starts=a, ends=b, words="making") for day, a, b in spans if day >= since]
        book_anew(key=key, label=kept.boards[others[key] - 1]["label"], bookings=rows, since=since)
    return True
