"""The day the years of the books begin on."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from .models import BookYear
from .period import Begins


def begin_years(
    *, who: Member | None, begins: Begins, seen_version: int, spend: Callable[[], None] = lambda: None
) -> BookYear:  # fmt: skip
    """From now on the books add up years that begin on this day. Raises EditConflict."""
    owner_only(who)
    with transaction.atomic():
        spend()
        BookYear.objects.get_or_create(pk=1)
        row = BookYear.objects.select_for_update().get(pk=1)
        check_version(row, seen_version)
        if (row.month, row.day) != (begins.month, begins.day):
            row.month, row.day = begins.month, begins.day
            row.save()
            bump_version(row)
            write_audit(who, f"The books’ years begin on {begins.words}.", row)
    return row
