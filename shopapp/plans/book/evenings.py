"""The session cards of the timetable a book is bound with."""

from __future__ import annotations

from shopapp.plans.timetable.readers import Seen, seen_of

from .told import Told


def cards_of(told: Told) -> Seen | None:
    """None where no timetable was kept."""
    kept = told.timetable
    return None if kept is None else seen_of(kept.form, kept.first, kept.wishes, kept.advice)
