"""A backup is one file: the database as one moment saw it, every stored file, and a list of their hashes."""

from __future__ import annotations

import hashlib
import io
import json
import os
import shutil
import sqlite3
import tarfile
import tempfile
from contextlib import closing, suppress
from pathlib import Path

from django.conf import settings
from django.db import connection

DATABASE = "shop.sqlite3"
LIST = "contents.json"


class BackupTrouble(Exception):
    """Why a backup cannot be made or put back, in words."""


def make_backup(target: Path) -> dict[str, str]:
    """Write a backup to ``target``, which must not stand yet; returns what went in, with hashes."""
    if connection.vendor != "sqlite":
        raise BackupTrouble("This shop is on PostgreSQL: back it up with pg_dump, and copy the data folder's files.")
    if target.exists():
        raise BackupTrouble(f"{target} stands already; name another file.")
    with tempfile.TemporaryDirectory(dir=target.parent) as folder:
        copy = Path(folder) / DATABASE
        _copy_database(Path(connection.settings_dict["NAME"]), copy)
        half = Path(folder) / "backup.tar.gz"
        with tarfile.open(half, "w:gz") as archive:
            contents = {DATABASE: _add(archive, copy, DATABASE)}
            for path in _files():
                name = f"files/{path.relative_to(settings.FILES)}"
                # An upload is gone as soon as the worker has read it; what a row names stays for good.
                with suppress(FileNotFoundError):
                    contents[name] = _add(archive, path, name)
            _add_text(archive, LIST, json.dumps(contents, indent=1))
        # It holds passwords' hashes and everybody's pictures.
        half.chmod(0o600)
        with half.open("rb") as file:
            os.fsync(file.fileno())
        half.rename(target)
    return contents


def _files() -> list[Path]:
    """Pictures and papers, and uploads still waiting to be read; none that is only half written."""
    return sorted(path for path in settings.FILES.rglob("*") if path.is_file() and path.suffix != ".half")


def restore_backup(source: Path, folder: Path) -> int:
    """Unpack a backup into ``folder``, which must hold no shop yet; returns how many files came back."""
    if connection.vendor != "sqlite":
        raise BackupTrouble("This shop is on PostgreSQL: restore it with pg_restore, and put back its files.")
    if (folder / DATABASE).exists():
        raise BackupTrouble(f"There is a shop in {folder} already. Restore into an empty folder, then look at it.")
    try:
        with tempfile.TemporaryDirectory(dir=folder) as place, tarfile.open(source, "r:gz") as archive:
            _unpack(archive, Path(place))
            contents = json.loads((Path(place) / LIST).read_text())
            for name, sha256 in contents.items():
                if name != DATABASE and (Path(name).parts[0] != "files" or ".." in Path(name).parts):
                    raise BackupTrouble(f"{name} has no place in a backup; nothing was restored.")
                if hashlib.sha256((Path(place) / name).read_bytes()).hexdigest() != sha256:
                    raise BackupTrouble(f"{name} in the backup is damaged; nothing was restored.")
            # The database last: should this be stopped half-way, there is no shop yet and it can be done again.
            for name in sorted(contents, key=lambda name: (name == DATABASE, name)):
                goal = folder / name
                goal.parent.mkdir(parents=True, exist_ok=True)
                (Path(place) / name).rename(goal)
    except (tarfile.TarError, OSError, KeyError, ValueError, EOFError) as error:
        raise BackupTrouble(f"{source} is no whole backup ({error}); nothing was restored.") from error
    return len(contents)


def _unpack(archive: tarfile.TarFile, place: Path) -> None:
    """Plain files only, and none outside ``place``: Pythons before 3.11.4 have no filter that sees to it."""
    for entry in archive:
        if not entry.isfile() or Path(entry.name).is_absolute() or ".." in Path(entry.name).parts:
            raise BackupTrouble(f"{entry.name} has no place in a backup; nothing was restored.")
        goal = place / entry.name
        goal.parent.mkdir(parents=True, exist_ok=True)
        with goal.open("wb") as file:
            shutil.copyfileobj(archive.extractfile(entry), file)
        goal.chmod(entry.mode & 0o777)


def _copy_database(source: Path, target: Path) -> None:
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(target)) as copy:
        live.backup(copy)


def _add(archive: tarfile.TarFile, path: Path, name: str) -> str:
    with path.open("rb") as file:
        sha256 = hashlib.file_digest(file, "sha256").hexdigest()
        file.seek(0)
        archive.addfile(archive.gettarinfo(arcname=name, fileobj=file), file)
    return sha256


def _add_text(archive: tarfile.TarFile, name: str, text: str) -> None:
    data = text.encode()
    entry = tarfile.TarInfo(name)
    entry.size = len(data)
    archive.addfile(entry, io.BytesIO(data))
