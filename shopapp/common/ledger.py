"""Append-only tables: triggers in the database that refuse to change or delete a row, laid again after migrate."""

from __future__ import annotations

from django.apps import apps
from django.db import connections, models

_PROTECTED: dict[type[models.Model], tuple[str, ...]] = {}


def protect(model: type[models.Model], against: tuple[str, ...] = ("update", "delete")) -> None:
    """Have the database refuse ``against`` on the model's table."""
    _PROTECTED[model] = against


def lay_triggers(using: str = "default", **_: object) -> None:
    """Create every trigger anew where its table stands; part of every migrate."""
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for table, act in _wanted():
            if table in tables:
                for statement in _statements(connection.vendor, table, act):
                    cursor.execute(statement)


def missing_triggers(using: str = "default") -> list[str]:
    """The triggers that should stand and do not."""
    connection = connections[using]
    query = {
        "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
        "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(query)
        standing = {row[0] for row in cursor.fetchall()}
    return [name for table, act in _wanted() if (name := _name(table, act)) not in standing]


def _wanted() -> list[tuple[str, str]]:
    installed = set(apps.get_models())
    return [(model._meta.db_table, act) for model, acts in _PROTECTED.items() if model in installed for act in acts]


def _name(table: str, act: str) -> str:
    return f"{table}_no_{act}"


def _statements(vendor: str, table: str, act: str) -> list[str]:
    name = _name(table, act)
    words = f"{table} is append-only"
    if vendor == "sqlite":
        return [
            f'DROP TRIGGER IF EXISTS "{name}"',
            f'CREATE TRIGGER "{name}" BEFORE {act.upper()} ON "{table}" BEGIN SELECT RAISE(ABORT, \'{words}\'); END',
        ]
    return [
        "CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS "
        "$$ BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME USING ERRCODE = 'integrity_constraint_violation'; "
        "END $$",
        f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"',
        f'CREATE TRIGGER "{name}" BEFORE {act.upper()} ON "{table}" FOR EACH ROW EXECUTE FUNCTION refuse_change()',
    ]
