"""Papers made by the worker, stored with their hash."""

from __future__ import annotations

from .files import write_file
from .models import StoredDocument


def store_document(
    data: bytes, *, title: str, suffix: str = ".pdf", media_type: str = "application/pdf"
) -> StoredDocument:
    name, sha256 = write_file("papers", suffix, data)
    return StoredDocument.objects.create(name=name, sha256=sha256, size=len(data), title=title, media_type=media_type)
