"""What `manage.py verify` asks of the time log."""

from __future__ import annotations

from fractions import Fraction

from shopapp.schedule.models import TimeEntry

from .planning import is_operation


def entries_that_make_no_sense() -> list[str]:
    """Entries that mend another's or a later one, of operations nobody knows, or of counts that are none."""
    faults = []
    for entry in TimeEntry.objects.select_related("mends").iterator(chunk_size=500):
        named = f"Time entry {entry.pk} ({entry.label})"
        if entry.mends_id and (entry.mends.key != entry.key or entry.mends_id > entry.pk):
            faults.append(f"{named} mends entry {entry.mends_id}, which is another's or came later.")
        if not is_operation(entry.operation):
            faults.append(f"{named} is of “{entry.operation}”, which is no operation.")
        if not all(_is_count(text) for text in [*filter(None, [entry.count]), *entry.planned.values()]):
            faults.append(f"{named} counts what cannot be read.")
    return faults


def _is_count(text: object) -> bool:
    try:
        return Fraction(str(text)) >= 0
    except (ValueError, ZeroDivisionError):
        return False
