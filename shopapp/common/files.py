"""Files under FILES: written whole and flushed before their row says that they exist."""

from __future__ import annotations

import hashlib
import os
import secrets
from pathlib import Path

from django.conf import settings
from django.http import FileResponse, Http404


def write_file(folder: str, suffix: str, data: bytes) -> tuple[str, str]:
    """Write ``data`` under a new name; returns the name within FILES and the SHA-256. The rename makes it whole."""
    name = f"{folder}/{secrets.token_hex(16)}{suffix}"
    path = settings.FILES / name
    # For the shop's own eyes: the folder opens to nobody else on the machine.
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    half = path.with_suffix(".half")
    with half.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    half.rename(path)
    folder_handle = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder_handle)
    finally:
        os.close(folder_handle)
    return name, hashlib.sha256(data).hexdigest()


def file_path(name: str) -> Path:
    return settings.FILES / name


def read_file(name: str) -> bytes:
    return file_path(name).read_bytes()


def file_answer(name: str, content_type: str) -> FileResponse:
    """A stored file as an answer; a file that is lost is a page not found, and `manage.py verify` names it."""
    try:
        return FileResponse(file_path(name).open("rb"), content_type=content_type)
    except OSError as error:
        raise Http404("The file is not there any more. Run `manage.py verify`, then restore the backup.") from error


def faults_of_stored_files() -> list[str]:
    """Stored files that are missing or not what their row says, or are there though an erasure took them away."""
    from .models import StoredDocument, StoredImage, TakenAway

    faults, gone = [], set(TakenAway.objects.values_list("name", flat=True))
    for model in (StoredImage, StoredDocument):
        for name, sha256 in model.objects.values_list("name", "sha256").iterator(chunk_size=500):
            path = file_path(name)
            if name in gone:
                faults += [f"{name} was to be destroyed by an erasure and is still there."] if path.exists() else []
            elif not path.exists():
                faults.append(f"{name} is missing.")
            elif hashlib.sha256(path.read_bytes()).hexdigest() != sha256:
                faults.append(f"{name} is not the file that was stored.")
    return faults
