"""Emptying the tables after a test that committed: the ledgers' triggers step aside for it and come back."""

from __future__ import annotations

from django.db.backends.base.operations import BaseDatabaseOperations

from shopapp.common import ledger

_flush = BaseDatabaseOperations.execute_sql_flush


def flush_past_the_ledgers(self: BaseDatabaseOperations, sql_list: list[str]) -> None:
    if self.connection.vendor == "sqlite":
        with self.connection.cursor() as cursor:
            for table, act, _ in ledger._wanted():
                cursor.execute(f'DROP TRIGGER IF EXISTS "{ledger._name(table, act)}"')
    _flush(self, sql_list)
    ledger.lay_triggers(self.connection.alias)
