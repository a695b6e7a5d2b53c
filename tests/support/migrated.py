"""The tests' database on SQLite is migrated by the first process of a run that wants one; the others copy its file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from django.conf import settings

from tests.support.once import Once


def migrated_once(once: Once, framework: Callable[..., str]) -> Callable[..., str]:
    """Stands in for ``framework``, its way of making a test's database: the name of one, which is in place then."""

    def create_test_db(self, *arguments: object, **options: object) -> str:
        def migrate() -> bytes:
            name = framework(self, *arguments, **options)
            # Whatever the journal, all of it is in the one file then.
            self.connection.close()
            return Path(name).read_bytes()

        whole = once("migrated", migrate)
        name = str(self._get_test_db_name())
        if str(self.connection.settings_dict["NAME"]) != name:
            Path(name).write_bytes(whole)
            settings.DATABASES[self.connection.alias]["NAME"] = self.connection.settings_dict["NAME"] = name
        self.connection.ensure_connection()
        return name

    return create_test_db
