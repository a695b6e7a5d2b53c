"""For `manage.py verify`: kept timetables are what their hashes say, and break no rule of their work."""

from __future__ import annotations

from shopapp.plans.models import KeptTimetable

from . import planning


def timetables_that_do_not_hold() -> list[str]:
    """What is wrong with kept timetables, one sentence a fault."""
    faults = []
    for kept in KeptTimetable.objects.order_by("pk").iterator(chunk_size=20):
        if not kept.matches_its_hash:
            faults.append(f"Timetable {kept.pk} does not match its hash.")
            continue
        faults += [f"Timetable {kept.pk}: {words}" for words in planning.faults_in_text(kept.form)]
    return faults
