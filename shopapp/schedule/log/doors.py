"""The addresses of a log of time, the same for everybody whose work is timed: a plan has them, and a job."""

from __future__ import annotations

from collections.abc import Callable

from django.urls import URLPattern

from shopapp.people.doors import BOTH, WRITE, Page, door

from . import pages
from .timed import Timed

_PAGES = (
    Page("time", "", pages.time, BOTH),
    Page("time_entry", "<int:entry_pk>/", pages.entry, BOTH),
    Page("time_back", "<int:entry_pk>/back/", pages.back, WRITE),
)


def time_door(find: Callable[[int], Timed]) -> list[URLPattern]:
    return door("time", _PAGES, find)
