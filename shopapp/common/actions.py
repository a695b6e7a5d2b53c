"""The small acts every change is made of: spend the form's key, check the edit version, write the audit line."""

from __future__ import annotations

import re

from django.db import IntegrityError, models, transaction
from django.db.models import F

from .models import AuditLine, Record, SpentKey

_KEY = re.compile(r"[A-Za-z0-9_-]{20,64}")


class AlreadySent(Exception):
    """The form was sent before; what it asked for is done already."""


class EditConflict(Exception):
    """Somebody else changed the row since the form was opened. ``current`` is what stands there now."""

    def __init__(self, current: models.Model) -> None:
        super().__init__("changed meanwhile")
        self.current = current


def spend_key(key: str) -> None:
    """Spend a form's one-use key; to be called first inside the transaction that does what the form asks.

    Raises AlreadySent when it was spent before, or is none.
    """
    if not _KEY.fullmatch(key or ""):
        raise AlreadySent
    try:
        with transaction.atomic():
            SpentKey.objects.create(key=key)
    except IntegrityError as error:
        raise AlreadySent from error


def is_key(key: str) -> bool:
    """Whether it is a form's key at all, spent or not."""
    return bool(_KEY.fullmatch(key))


def was_spent(key: str) -> bool:
    """Whether a form with this key was done already; for forms that read differently the second time."""
    return bool(_KEY.fullmatch(key)) and SpentKey.objects.filter(key=key).exists()


def check_version(record: Record, seen: int) -> None:
    """Raises EditConflict when ``record``, read under the transaction's lock, is not the version that was seen."""
    if record.edit_version != seen:
        raise EditConflict(record)


def bump_version(record: Record) -> None:
    type(record)._base_manager.filter(pk=record.pk).update(edit_version=F("edit_version") + 1)
    record.refresh_from_db(fields=["edit_version"])


def write_audit(who: models.Model | None, what: str, subject: models.Model) -> AuditLine:
    """One sentence about one change, in the transaction of the change itself."""
    return AuditLine.objects.create(who=who, what=what[:400], kind=subject._meta.label_lower, key=str(subject.pk))
