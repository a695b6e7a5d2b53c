"""Changes to the workshop's settings, each told in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction

from django.core.exceptions import PermissionDenied
from django.db import transaction

from planner.measures import Length, format_length
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.fields import plain_number
from shopapp.people.models import Member

from .models import Fee, Workshop


def change_settings(
    *,
    who: Member,
    title: str,
    changes: dict[str, object],
    seen_version: int,
    fees: Sequence[dict[str, object]] | None = None,
    spend: Callable[[], None] = lambda: None,
) -> Workshop:
    """Write one section of the settings. Raises EditConflict when somebody else changed them meanwhile."""
    if not who.is_owner:
        raise PermissionDenied
    with transaction.atomic():
        spend()
        workshop = Workshop.objects.select_for_update().filter(pk=1).first()
        if workshop is None:
            workshop = Workshop(pk=1, edit_version=0)
        check_version(workshop, seen_version)
        told = [
            f"{_words(name)} from {_shown(getattr(workshop, name), workshop)} to {_shown(value, workshop)}"
            for name, value in changes.items()
            if getattr(workshop, name) != value
        ]
        for name, value in changes.items():
            setattr(workshop, name, value)
        workshop.save()
        if fees is not None and _fees_of(workshop) != list(fees):
            workshop.fees.all().delete()
            Fee.objects.bulk_create([Fee(workshop=workshop, **fee) for fee in fees])
            told.append("the fees")
        bump_version(workshop)
        if told:
            write_audit(who, f"{title} changed: {'; '.join(told)}.", workshop)
    return workshop


def _fees_of(workshop: Workshop) -> list[dict[str, object]]:
    return list(workshop.fees.values("place", "name", "percent", "fixed", "on_carriage", "on_tax"))


def _words(name: str) -> str:
    return name.replace("_", " ")


def _shown(value: object, workshop: Workshop) -> str:
    if isinstance(value, Length):
        return format_length(value, workshop.unit)
    if isinstance(value, Fraction):
        return f"{plain_number(value * 100)} %"
    if isinstance(value, dict):
        return "the times as listed"
    return "nothing" if value in (None, "") else str(value)
