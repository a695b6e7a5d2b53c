"""Leaving no row behind after a test that committed."""

from __future__ import annotations

from collections.abc import Callable

from django.db import connections, transaction
from django.test import TransactionTestCase

from shopapp.common import ledger
from tests.support.migrated import migrated

# What migrating writes about the models, the same before every test.
OF_THE_MODELS = {"django_content_type", "auth_permission"}


def leave_no_rows(test_case: TransactionTestCase) -> None:
    """Stands in for the framework's own way, which empties every table and then writes OF_THE_MODELS anew."""
    for alias in test_case._databases_names(include_mirrors=False):
        _EMPTY[connections[alias].vendor](connections[alias])


def _as_migrated(connection) -> None:
    """On SQLite the whole file is as it was before the first test; triggers that forbid deleting never hear of it."""
    with connection.cursor():
        migrated().backup(connection.connection)


def _emptied(connection) -> None:
    """On PostgreSQL the tables that hold a row are emptied; the ledgers' triggers see single rows only."""
    filled = _filled(connection)
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        if filled:
            cursor.execute(f"TRUNCATE {', '.join(map(connection.ops.quote_name, filled))} CASCADE")
    # The test may have taken some away.
    if ledger.missing_triggers(connection.alias):
        ledger.lay_triggers(connection.alias)


def _filled(connection) -> list[str]:
    tables = sorted(set(connection.introspection.django_table_names(only_existing=True)) - OF_THE_MODELS)
    quoted = {table: connection.ops.quote_name(table) for table in tables}
    asked = (f"SELECT '{table}' WHERE EXISTS (SELECT 1 FROM {name})" for table, name in quoted.items())
    with connection.cursor() as cursor:
        cursor.execute(" UNION ALL ".join(asked))
        return [table for (table,) in cursor.fetchall()]


_EMPTY: dict[str, Callable[..., None]] = {"sqlite": _as_migrated, "postgresql": _emptied}
