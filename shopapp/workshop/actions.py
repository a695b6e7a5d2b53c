"""Changes to the workshop's settings, each told in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from django.core.exceptions import PermissionDenied
from django.db import transaction

from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.people.models import Member

from .models import Fee, Workshop
from .telling import changes_told, fees_told


def change_settings(
    *,
    who: Member,
    title: str,
    changes: dict[str, object],
    seen_version: int,
    fees: Sequence[dict[str, object]] | None = None,
    spend: Callable[[], None] = lambda: None,
) -> Workshop:
    """Write one section of the settings, each change told in a sentence of its own after ``title``.

    Raises EditConflict when somebody else changed them meanwhile.
    """
    if not who.is_owner:
        raise PermissionDenied
    with transaction.atomic():
        spend()
        workshop = hold_workshop()
        check_version(workshop, seen_version)
        told = changes_told(workshop, changes)
        for name, value in changes.items():
            setattr(workshop, name, value)
        workshop.save()
        fees = None if fees is None else [{"minimum": None, "cap": None, **fee} for fee in fees]
        if fees is not None and (before := _fees_of(workshop)) != fees:
            told += fees_told(workshop, before, fees) or ["The order of the fees changed."]
            workshop.fees.all().delete()
            Fee.objects.bulk_create([Fee(workshop=workshop, **fee) for fee in fees])
        bump_version(workshop)
        for sentence in told:
            write_audit(who, f"{title}: {sentence}", workshop)
    return workshop


def hold_workshop() -> Workshop:
    """The one row under the transaction's lock; whoever changes what belongs to the whole shop waits for it here. It is
    made here, not by a first page that reads it, for reading never writes."""
    Workshop.objects.get_or_create(pk=1, defaults={"edit_version": 0})
    return Workshop.objects.select_for_update().get(pk=1)


def _fees_of(workshop: Workshop) -> list[dict[str, object]]:
    return list(workshop.fees.values("place", "name", "percent", "fixed", "on_carriage", "on_tax", "minimum", "cap"))
