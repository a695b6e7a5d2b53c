"""What an erasure takes away: names struck out of texts and audit lines, and the bytes of files. Rows of ledgers stay;
of an append-only row only the columns its app named in `protect(..., but=...)` may be changed, and by nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterable
from contextlib import suppress

from django.db import OperationalError, connection, models, transaction

from .files import file_path
from .models import AuditLine, StoredDocument, StoredFile, TakenAway

_MOST_AT_ONCE = 400


def struck(text: str, names: Iterable[str], instead: str) -> str:
    """``text`` with ``instead`` wherever one of ``names`` stands as words of its own, in capitals or not.

    A name that was cut off at the very end of a text, because the text was too long, goes too.
    """
    for name in sorted({" ".join(name.split()) for name in names} - {""}, key=len, reverse=True):
        # However many blanks lie between its words; "Ash" is not struck out of "Ashwell".
        words = r"\s+".join(map(re.escape, name.split()))
        text = re.sub(rf"(?<!\w){words}(?!\w)", lambda _: instead, text, flags=re.IGNORECASE)
    return text


def strike_audit(of: Iterable[models.Model], names: Iterable[str], instead: str) -> int:
    """Strike ``names`` out of what the audit tells of the rows ``of``; returns how many lines were changed.

    That something was done, when and by whom stays as it was written.
    """
    names, keys = list(names), {}
    for row in of:
        keys.setdefault(row._meta.label_lower, []).append(str(row.pk))
    changed = 0
    for kind, all_keys in keys.items():
        for start in range(0, len(all_keys), _MOST_AT_ONCE):
            lines = AuditLine.objects.filter(kind=kind, key__in=all_keys[start : start + _MOST_AT_ONCE])
            changed += _strike(lines, names, instead)
    return changed


def strike_audit_everywhere(name: str, instead: str) -> int:
    """The same in every line that has the whole ``name``, whatever it tells of."""
    return _strike(AuditLine.objects.filter(what__icontains=name), [name], instead) if name else 0


def _strike(lines: models.QuerySet[AuditLine], names: list[str], instead: str) -> int:
    changed = 0
    for pk, what in lines.order_by("pk").values_list("pk", "what"):
        most = AuditLine._meta.get_field("what").max_length
        now = struck(what if len(what) < most else without_cut_off(what, names), names, instead)
        if now != what:
            AuditLine.objects.filter(pk=pk).update(what=now[:most])
            changed += 1
    return changed


def without_cut_off(text: str, names: Iterable[str]) -> str:
    """A text that was cut to its length, without the beginning of a name that it may end with."""
    for name in names:
        for length in range(len(name) - 1, 2, -1):
            if re.search(rf"(?<!\w){re.escape(name[:length])}$", text, flags=re.IGNORECASE):
                return text[:-length].rstrip() + "…"
    return text


def take_away(files: Iterable[StoredFile]) -> int:
    """Destroy the bytes of stored files once the transaction is done; their rows stay, with hash and day, and a row
    each says that they were taken away. Returns how many were."""
    names = sorted({file.name for file in files} - taken_away())
    TakenAway.objects.bulk_create([TakenAway(name=name) for name in names])
    StoredDocument.objects.filter(name__in=names).update(title="")
    transaction.on_commit(lambda: remove_bytes(names))
    return len(names)


def taken_away() -> set[str]:
    return set(TakenAway.objects.values_list("name", flat=True))


def remove_bytes(names: Iterable[str]) -> None:
    for name in names:
        file_path(name).unlink(missing_ok=True)


def finish_taking_away() -> None:
    """A chore: what was to be removed when the machine stopped."""
    remove_bytes(taken_away())


def leave_no_trace() -> None:
    """Once the transaction is done: the write-ahead log still has pages as they were before, and is emptied. Where
    somebody is reading just then the next erasure does it, or the last one who leaves."""
    if connection.vendor == "sqlite":
        transaction.on_commit(_empty_the_log)


def _empty_the_log() -> None:
    # Waiting for readers is not worth an error after what was asked for is done.
    with suppress(OperationalError), connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
