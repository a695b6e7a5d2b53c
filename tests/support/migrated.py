"""The tests' database on SQLite is migrated by the first process that wants one; the others copy its file, and after a
test that committed it is as it was.

It is kept beside the tests' other data for the next run, until a migration, a model or a trigger is another; CI
migrates every time."""

from __future__ import annotations

import hashlib
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path

from django.conf import settings

from tests.support.once import Once

# What stands in the files that say how tables and triggers are.
TELLING = (b"from django.db import models", b"AbstractBaseUser", b"protect(", b"CREATE TRIGGER", b"INSTALLED_APPS")


def migrated_once(once: Once, framework: Callable[..., str]) -> Callable[..., str]:
    """Stands in for ``framework``, its way of making a test's database: the name of one, which is in place then."""

    def create_test_db(self, *arguments: object, **options: object) -> str:
        kept = _kept()
        if kept is not None and kept.exists():
            whole = kept.read_bytes()
        else:

            def migrate() -> bytes:
                name = framework(self, *arguments, **options)
                # Whatever the journal, all of it is in the one file then.
                self.connection.close()
                return Path(name).read_bytes()

            whole = once("migrated", migrate)
            if kept is not None:
                _keep(kept, whole)
        _keep_at_hand(whole)
        name = str(self._get_test_db_name())
        if str(self.connection.settings_dict["NAME"]) != name:
            Path(name).write_bytes(whole)
            settings.DATABASES[self.connection.alias]["NAME"] = self.connection.settings_dict["NAME"] = name
        self.connection.ensure_connection()
        return name

    return create_test_db


# Of this process, as it was before its first test.
_at_hand: list[sqlite3.Connection] = []


def migrated() -> sqlite3.Connection:
    """The database as it was migrated, in memory."""
    return _at_hand[0]


def _keep_at_hand(whole: bytes) -> None:
    memory = sqlite3.connect(":memory:", check_same_thread=False)
    # Two bytes of the head name the journal; in memory there is none (https://www.sqlite.org/fileformat.html, 1.3.3).
    memory.deserialize(whole[:18] + b"\x01\x01" + whole[20:])
    _at_hand[:] = [memory]


def _kept() -> Path | None:
    """Where a database as the files of now make it is kept, if one is."""
    if os.environ.get("CI") == "true":
        return None
    of_now = hashlib.sha256(sqlite3.sqlite_version.encode())
    app = settings.BASE_DIR / "shopapp"
    for file in sorted(app.rglob("*.py")):
        said = file.read_bytes()
        if "migrations" in file.parts or any(words in said for words in TELLING):
            of_now.update(str(file.relative_to(app)).encode() + said)
    of_now.update((app / "requirements.lock").read_bytes() + Path(__file__).read_bytes())
    return settings.DATA / f"migrated-{of_now.hexdigest()[:20]}.sqlite3"


def _keep(kept: Path, whole: bytes) -> None:
    for older in kept.parent.glob("migrated-*.sqlite3"):
        older.unlink(missing_ok=True)
    half = kept.with_suffix(f".{os.getpid()}")
    half.write_bytes(whole)
    half.rename(kept)
