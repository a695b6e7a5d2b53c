"""Append-only tables: triggers in the database that refuse to change or delete a row, seen to after every migrate."""

from __future__ import annotations

from django.apps import apps
from django.db import connections, models, transaction

_REFUSE_CHANGE = (
    "CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS "
    "$$ BEGIN RAISE EXCEPTION '% is append-only', TG_TABLE_NAME USING ERRCODE = 'integrity_constraint_violation'; "
    "END $$"
)
_PROTECTED: dict[type[models.Model], tuple[tuple[str, ...], frozenset[str]]] = {}


def protect(
    model: type[models.Model], against: tuple[str, ...] = ("update", "delete"), *, but: tuple[str, ...] = ()
) -> None:
    """Have the database refuse ``against`` on the model's table. The fields named in ``but`` may still be changed,
    in a statement that sets nothing else."""
    _PROTECTED[model] = (against, frozenset(but))


def lay_triggers(using: str = "default", **_: object) -> None:
    """Lay what is missing where its table stands, in one go: for each trigger that comes or goes SQLite reads all its
    tables anew, and most starts find every one in place. Part of every migrate."""
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    missing = [one for one in _missing(connection) if one[0] in tables]
    with transaction.atomic(using), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            # What the triggers that stand call, too.
            cursor.execute(_REFUSE_CHANGE)
        for table, act, columns in missing:
            for statement in _statements(connection.vendor, table, act, columns):
                cursor.execute(statement)


def missing_triggers(using: str = "default") -> list[str]:
    """The triggers that should stand and do not, or stand in another form, or are switched off."""
    return [_name(table, act) for table, act, _ in _missing(connections[using])]


def _missing(connection) -> list[tuple[str, str, tuple[str, ...]]]:
    standing = _standing(connection)
    return [
        (table, act, columns)
        for table, act, columns in _wanted()
        if _plain(_statements(connection.vendor, table, act, columns)[-1]) != standing.get((table, _name(table, act)))
    ]


def _standing(connection) -> dict[tuple[str, str], str]:
    """Table and name of every trigger that acts, with the statement that made it."""
    query = {
        "sqlite": "SELECT tbl_name, name, sql FROM sqlite_master WHERE type = 'trigger'",
        # 'O' and 'A' act in ordinary sessions; 'D' is switched off, 'R' acts for replicas only.
        "postgresql": "SELECT relname, tgname, pg_get_triggerdef(pg_trigger.oid, true) FROM pg_trigger "
        "JOIN pg_class ON pg_class.oid = tgrelid WHERE NOT tgisinternal AND tgenabled IN ('O', 'A') "
        "AND relnamespace = current_schema()::regnamespace",
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(query)
        return {(table, name): _plain(statement) for table, name, statement in cursor.fetchall()}


def _plain(statement: str) -> str:
    """A statement without what the two databases write differently when they tell it back."""
    return " ".join(statement.replace('"', "").split())


def _wanted() -> list[tuple[str, str, tuple[str, ...]]]:
    """Table, act, and for an update the columns it may not set; none of them stands for every column."""
    installed = set(apps.get_models())
    return [
        (model._meta.db_table, act, _columns(model, but) if but and act == "update" else ())
        for model, (acts, but) in _PROTECTED.items()
        if model in installed
        for act in acts
    ]


def _columns(model: type[models.Model], but: frozenset[str]) -> tuple[str, ...]:
    return tuple(field.column for field in model._meta.concrete_fields if field.name not in but)


def _name(table: str, act: str) -> str:
    return f"{table}_no_{act}"


def _statements(vendor: str, table: str, act: str, columns: tuple[str, ...] = ()) -> list[str]:
    name = _name(table, act)
    of = " OF " + ", ".join(f'"{column}"' for column in columns) if columns else ""
    words = f"{table} is append-only"
    if vendor == "sqlite":
        return [
            f'DROP TRIGGER IF EXISTS "{name}"',
            f'CREATE TRIGGER "{name}" BEFORE {act.upper()}{of} ON "{table}" '
            f"BEGIN SELECT RAISE(ABORT, '{words}'); END",
        ]
    return [
        f'DROP TRIGGER IF EXISTS "{name}" ON "{table}"',
        f'CREATE TRIGGER "{name}" BEFORE {act.upper()}{of} ON "{table}" FOR EACH ROW EXECUTE FUNCTION refuse_change()',
    ]
