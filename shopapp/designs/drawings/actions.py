"""A drawing given another name; nothing else of it ever changes."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from shopapp.common.actions import EditConflict, write_audit
from shopapp.designs.models import PatternVersion
from shopapp.people.models import Member


def rename_drawing(
    *, who: Member, version: PatternVersion, name: str, was: str, spend: Callable[[], None] = lambda: None
) -> None:
    """Name a drawing. Raises EditConflict when it was named otherwise since ``was`` was read."""
    with transaction.atomic():
        spend()
        # One statement that sets the name alone, the only kind the table allows.
        if not PatternVersion.objects.filter(pk=version.pk, name=was).update(name=name):
            raise EditConflict(PatternVersion.objects.get(pk=version.pk))
        words = f"named “{name}”" if name else "left without a name"
        write_audit(who, f"Drawing {version.number} of {version.design.name} was {words}.", version.design)
    version.name = name
