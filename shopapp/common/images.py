"""The one intake of pictures: raw bytes wait privately for the worker; what is kept was written afresh."""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import timedelta

from django.core.files.uploadedfile import UploadedFile
from django.utils import timezone

from planner.errors import PlannerError

from .files import file_path, read_file, write_file
from .models import StoredImage

MOST_BYTES = 12 * 1024 * 1024
INCOMING = "incoming"


def keep_upload(upload: UploadedFile) -> str:
    """Keep an upload as it came, under our own name, until the worker has decoded it. Never served."""
    if upload.size is None or upload.size > MOST_BYTES:
        raise PlannerError("The file is larger than 12 MB.", mend="Bring a smaller picture.", field="picture")
    data = upload.read(MOST_BYTES + 1)
    if not data:
        raise PlannerError("The file is empty.", mend="Choose the picture again.", field="picture")
    return write_file(INCOMING, ".raw", data)[0]


@contextmanager
def kept_upload(upload: UploadedFile) -> Iterator[str]:
    """An upload kept as it came, by its name, for whoever writes a row that names it. If that fails, sent twice or
    refused by the database, the bytes are not left lying: no row names them."""
    name = keep_upload(upload)
    try:
        yield name
    except BaseException:
        drop_incoming(name)
        raise


def incoming_bytes(name: str) -> bytes:
    return read_file(name)


def drop_incoming(name: str) -> None:
    if name.startswith(f"{INCOMING}/"):
        file_path(name).unlink(missing_ok=True)


_NAMED_BY: list[Callable[[], set[str]]] = []


def keep_incoming_of(names: Callable[[], set[str]]) -> None:
    """Let ``names`` say which uploads its app still waits for; each app tells at start."""
    _NAMED_BY.append(names)


def drop_old_incoming(named: set[str], *, older_than: timedelta = timedelta(days=1)) -> None:
    """Drop uploads that no row names, left by a server that was ended between the file and its row."""
    named = named.union(*(names() for names in _NAMED_BY))
    before = (timezone.now() - older_than).timestamp()
    for path in file_path(INCOMING).glob("*"):
        if f"{INCOMING}/{path.name}" not in named and path.stat().st_mtime < before:
            path.unlink(missing_ok=True)


_ONLY_TO_THE_OWNER: set[str] = set()


def show_only_to_the_owner(purpose: str) -> None:
    """Let nobody but the owner see images stored for ``purpose``; each app tells at start."""
    _ONLY_TO_THE_OWNER.add(purpose)


def may_see(user, image: StoredImage) -> bool:
    return user.is_owner or image.purpose not in _ONLY_TO_THE_OWNER


def store_image(png: bytes, *, purpose: str) -> StoredImage:
    """Store a PNG that we wrote ourselves."""
    width, height = struct.unpack(">II", png[16:24])
    name, sha256 = write_file("images", ".png", png)
    return StoredImage.objects.create(
        name=name, sha256=sha256, size=len(png), purpose=purpose, width=width, height=height
    )


def image_bytes(image: StoredImage) -> bytes:
    return read_file(image.name)
