"""Looks at everything that must not be lost, and says what is wrong."""

from __future__ import annotations

from django.core.management.base import BaseCommand, CommandError
from django.db import connection

from shopapp.common.files import faults_of_stored_files
from shopapp.common.ledger import missing_triggers
from shopapp.common.verification import questions


class Command(BaseCommand):
    help = "Checks the database, the ledgers' triggers, every stored file and every kept plan. Changes nothing."

    def handle(self, **options: object) -> None:
        asked = [
            ("The database is whole", database_faults),
            ("The ledgers are guarded", lambda: [f"The trigger {name} is missing." for name in missing_triggers()]),
            ("Stored files are those that were stored", faults_of_stored_files),
            *questions(),
        ]
        bad = 0
        for words, find_faults in asked:
            faults = find_faults()
            bad += len(faults)
            self.stdout.write(f"{'no ' if faults else 'yes'}  {words}")
            for fault in faults:
                self.stdout.write(f"       {fault}")
        if bad:
            raise CommandError(f"{bad} found. Do not go on before a backup of the folder as it is now; then restore.")


def database_faults() -> list[str]:
    """What SQLite itself finds wrong; PostgreSQL keeps its own checks."""
    if connection.vendor != "sqlite":
        return []
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        faults = [row[0] for row in cursor.fetchall() if row[0] != "ok"]
        cursor.execute("PRAGMA foreign_key_check")
        faults += [f"A row of {row[0]} points at nothing in {row[2]}." for row in cursor.fetchall()]
    return faults
