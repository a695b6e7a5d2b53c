"""Changes to the week: hours of a weekday, days that are different, and what is booked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.actions import hold_workshop

from .checks import clashes, lie_over
from .models import Booking, SessionException, ShopSession

Spend = Callable[[], None]


def add_sessions(
    *, who: Member | None, weekdays: Sequence[int], values: Mapping[str, object], spend: Spend = lambda: None
) -> list[ShopSession]:
    """The same hours on each of ``weekdays``, all or none. Raises PlannerError where a day has such hours already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        # Two who add at once wait for each other, so that hours which lie over each other cannot both be written.
        hold_workshop()
        rows = [ShopSession(weekday=weekday, **values) for weekday in weekdays]
        for row in rows:
            _session_apart(row)
        for row in rows:
            row.save()
            write_audit(who, f"The week has {row}{_there(row)}.", row)
    return rows


def change_session(
    *, who: Member, session: ShopSession, values: Mapping[str, object], seen_version: int, spend: Spend = lambda: None
) -> ShopSession:
    """Raises EditConflict when somebody else changed it meanwhile."""
    owner_only(who)
    with transaction.atomic():
        spend()
        hold_workshop()
        row = ShopSession.objects.select_for_update().get(pk=session.pk)
        check_version(row, seen_version)
        before = f"{row}{_there(row)}"
        for name, value in values.items():
            setattr(row, name, value)
        _session_apart(row)
        row.save()
        bump_version(row)
        _tell_change(who, row, before, f"{row}{_there(row)}")
    return row


def add_exception(*, who: Member | None, values: Mapping[str, object], spend: Spend = lambda: None) -> SessionException:
    """Days on which the week's hours do not stand. Raises PlannerError where something is said of one already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        hold_workshop()
        row = SessionException(**values)
        _exception_apart(row)
        row.save()
        write_audit(who, f"Different from the week: {row}{_why(row)}.", row)
    return row


def change_exception(
    *, who: Member, row: SessionException, values: Mapping[str, object], seen_version: int, spend: Spend = lambda: None
) -> SessionException:
    """Raises EditConflict when somebody else changed it meanwhile."""
    owner_only(who)
    with transaction.atomic():
        spend()
        hold_workshop()
        row = SessionException.objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        before = f"{row}{_why(row)}"
        for name, value in values.items():
            setattr(row, name, value)
        _exception_apart(row)
        row.save()
        bump_version(row)
        _tell_change(who, row, before, f"{row}{_why(row)}")
    return row


def remove_hours(
    *, who: Member, row: ShopSession | SessionException, seen_version: int, spend: Spend = lambda: None
) -> str:
    """Take hours out of the week, or let the week's own stand again; what was removed, in words. Nothing points at
    either, and what was booked stays booked. Raises EditConflict when somebody else changed it meanwhile."""
    owner_only(who)
    with transaction.atomic():
        spend()
        row = type(row).objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        told = str(row)
        write_audit(who, f"Taken out of the week: {told}.", row)
        row.delete()
    return told


def book_anew(*, key: str, label: str, bookings: Iterable[Booking], since: date | None = None) -> None:
    """``bookings`` take the place of those under ``key``, of all or of those ``since`` a day; none given, none left.
    Part of the transaction of whoever books, who writes the audit line too."""
    standing = Booking.objects.filter(key=key)
    (standing.filter(on__gte=since) if since else standing).delete()
    rows = list(bookings)
    for row in rows:
        row.key, row.label = key, label[:160]
    Booking.objects.bulk_create(rows)


def _session_apart(row: ShopSession) -> None:
    for other in ShopSession.objects.filter(weekday=row.weekday).exclude(pk=row.pk):
        if lie_over(row, other):
            raise PlannerError(
                f"{other} is in the week already.", mend="Choose other times, or change those.", field="starts"
            )


def _exception_apart(row: SessionException) -> None:
    for other in SessionException.objects.filter(first__lte=row.last, last__gte=row.first).exclude(pk=row.pk):
        if clashes(row, other):
            raise PlannerError(
                f"Something is said of these days already: {other}.", mend="Change that instead.", field="first"
            )


def _there(row: ShopSession) -> str:
    people = f", {row.people} people" if row.people > 1 else ""
    return f"{people}, {row.who}" if row.who else people


def _why(row: SessionException) -> str:
    people = f", {row.people} people" if row.people > 1 and not row.is_closed else ""
    return f"{people} ({row.reason})" if row.reason else people


def _tell_change(who: Member, row: ShopSession | SessionException, before: str, after: str) -> None:
    if before != after:
        write_audit(who, f"The week changed from {before} to {after}.", row)
