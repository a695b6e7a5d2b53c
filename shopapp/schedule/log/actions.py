"""Time written down, mended and taken back; nothing in the log is ever changed or deleted."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.people.models import Member
from shopapp.schedule.models import TimeEntry

from .planning import is_operation, operation_words

Spend = Callable[[], None]
Kind = TimeEntry.Kind


class MendedMeanwhile(PlannerError):
    """The entry does not count any more: another took its place a moment before."""


@dataclass(frozen=True)
class TimeFacts:
    """``count`` is how much was done, None where it was not said; ``finishes`` that nothing of it is left."""

    operation: str
    minutes: int
    on: date
    finishes: bool = False
    count: Fraction | None = None
    by: Member | None = None
    note: str = ""


def log_time(
    *, who: Member | None, key: str, label: str, facts: TimeFacts, planned: Mapping[str, Fraction],
    spend: Spend = lambda: None,
) -> TimeEntry:  # fmt: skip
    """Write down how long somebody worked. ``planned`` are the counts of the work's plan as it is now. A helper writes
    down their own time only."""
    _may_write(who, facts.by)
    with transaction.atomic():
        spend()
        return _write(who, key, label, facts, planned)


def say_done(
    *, who: Member | None, key: str, label: str, operations: Sequence[str], on: date, planned: Mapping[str, Fraction],
    spend: Spend = lambda: None,
) -> list[TimeEntry]:  # fmt: skip
    """Say of operations that all of them is done, so that their time is learned from."""
    if not operations:
        raise PlannerError("Nothing is open that could be done.", mend="Write time down first.")
    with transaction.atomic():
        spend()
        made = [
            TimeEntry.objects.create(
                who=who, by=who, key=key, label=label, kind=Kind.DONE, operation=operation, on=on, minutes=0,
                finishes=True, planned=_as_text(planned),
            )
            for operation in operations
        ]  # fmt: skip
        for entry in made:
            write_audit(who, f"{label}: “{operation_words(entry.operation)}” is done.", entry)
    return made


def mend_time(
    *, who: Member | None, entry: TimeEntry, facts: TimeFacts, planned: Mapping[str, Fraction],
    spend: Spend = lambda: None,
) -> TimeEntry:  # fmt: skip
    """Put another entry in the place of ``entry``, also of one that was taken back. Raises MendedMeanwhile where
    another has taken it already."""
    _may_write(who, facts.by)
    _may_write(who, entry.by)
    with transaction.atomic():
        spend()
        return _write(who, entry.key, entry.label, facts, planned, mends=entry)


def take_back(*, who: Member | None, entry: TimeEntry, spend: Spend = lambda: None) -> TimeEntry:
    """Take an entry back by another. Raises MendedMeanwhile where it does not count any more."""
    _may_write(who, entry.by)
    with transaction.atomic():
        spend()
        if entry.kind == Kind.TAKEN_BACK:
            raise MendedMeanwhile("That was taken back already.", mend="Here is how it stands.")
        _still_stands(entry)
        made = _in_its_place(
            entry, who=who, by=entry.by, key=entry.key, label=entry.label, kind=Kind.TAKEN_BACK,
            operation=entry.operation, on=entry.on, minutes=0, planned=entry.planned,
        )  # fmt: skip
        write_audit(who, f"{entry.label}: taken back, {_said(entry)}.", made)
    return made


def _may_write(who: Member | None, by: Member | None) -> None:
    """The owner writes for everybody, a helper for themselves."""
    if who is not None and not who.is_owner and by != who:
        raise PermissionDenied


def _write(
    who: Member | None, key: str, label: str, facts: TimeFacts, planned: Mapping[str, Fraction],
    mends: TimeEntry | None = None,
) -> TimeEntry:  # fmt: skip
    if not is_operation(facts.operation):
        raise PlannerError(f"There is no operation called “{facts.operation}”.", mend="Choose one of the list.")
    given = {
        "who": who, "by": facts.by, "key": key, "label": label, "operation": facts.operation, "on": facts.on,
        "minutes": facts.minutes, "count": "" if facts.count is None else str(facts.count),
        "finishes": facts.finishes, "planned": _as_text(planned), "note": facts.note,
    }  # fmt: skip
    if mends is None:
        entry = TimeEntry.objects.create(**given)
        write_audit(who, f"{label}: {_said(entry)} written down.", entry)
        return entry
    _still_stands(mends)
    entry = _in_its_place(mends, **given)
    write_audit(who, f"{label}: {_said(mends)} mended to {_said(entry)}.", entry)
    return entry


def _still_stands(entry: TimeEntry) -> None:
    if TimeEntry.objects.filter(mends=entry).exists():
        raise MendedMeanwhile("That entry was mended meanwhile.", mend="Here is what stands in its place.")


def _in_its_place(entry: TimeEntry, **given: object) -> TimeEntry:
    try:
        with transaction.atomic():
            return TimeEntry.objects.create(mends=entry, **given)
    except IntegrityError as error:
        raise MendedMeanwhile("That entry was mended meanwhile.", mend="Here is what stands in its place.") from error


def _as_text(planned: Mapping[str, Fraction]) -> dict[str, str]:
    return {key: str(count) for key, count in planned.items()}


def _said(entry: TimeEntry) -> str:
    if entry.kind == Kind.DONE:
        return f"that “{operation_words(entry.operation)}” is done"
    if entry.kind == Kind.TAKEN_BACK:
        return f"“{operation_words(entry.operation)}” that was taken back"
    done = ", done with it" if entry.finishes else ""
    by = f" by {entry.by.get_username()}" if entry.by else ""
    return f"{entry.minutes} min at “{operation_words(entry.operation)}”{by}{done}"
