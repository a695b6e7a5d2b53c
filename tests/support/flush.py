"""Emptying the tables after a test that committed: those that hold a row, the ledgers' triggers stepping aside."""

from __future__ import annotations

from django.db import connections, transaction
from django.test import TransactionTestCase

from shopapp.common import ledger

# What migrating writes about the models, the same before every test.
OF_THE_MODELS = {"django_content_type", "auth_permission"}


def leave_no_rows(test_case: TransactionTestCase) -> None:
    """Stands in for the framework's own way, which empties every table and then writes OF_THE_MODELS anew."""
    for alias in test_case._databases_names(include_mirrors=False):
        connection = connections[alias]
        filled = _filled(connection)
        with transaction.atomic(using=alias), connection.cursor() as cursor:
            if connection.vendor == "postgresql" and filled:
                cursor.execute(f"TRUNCATE {', '.join(map(connection.ops.quote_name, filled))} CASCADE")
            elif connection.vendor == "sqlite":
                for table, act, _ in ledger._wanted():
                    if table in filled:
                        cursor.execute(f'DROP TRIGGER IF EXISTS "{ledger._name(table, act)}"')
                for table in filled:
                    cursor.execute(f'DELETE FROM "{table}"')
        # The test may have taken some away as well.
        if ledger.missing_triggers(alias):
            ledger.lay_triggers(alias)


def _filled(connection) -> list[str]:
    tables = sorted(set(connection.introspection.django_table_names(only_existing=True)) - OF_THE_MODELS)
    quoted = {table: connection.ops.quote_name(table) for table in tables}
    asked = (f"SELECT '{table}' WHERE EXISTS (SELECT 1 FROM {name})" for table, name in quoted.items())
    with connection.cursor() as cursor:
        cursor.execute(" UNION ALL ".join(asked))
        return [table for (table,) in cursor.fetchall()]
