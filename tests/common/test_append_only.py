"""Ledgers are added to and never changed: the database itself refuses, whoever asks."""

from __future__ import annotations

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from shopapp.common import ledger
from shopapp.common.actions import write_audit
from shopapp.common.erasing import strike_audit
from shopapp.common.models import AuditLine
from shopapp.designs.models import PatternVersion
from shopapp.plans.actions import keep_plan
from shopapp.plans.models import Plan
from shopapp.workshop.readers import the_workshop
from tests.support.shop import add_woods, board, design_with_pattern

pytestmark = [pytest.mark.storage, pytest.mark.django_db]


def test_an_audit_line_cannot_be_changed_or_taken_away(owner):
    line = write_audit(owner, "Something was done.", owner)
    for change in ({"who": None}, {"kind": "other"}, {"what": "Nothing was done.", "key": "7"}):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
            AuditLine.objects.filter(pk=line.pk).update(**change)
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        line.delete()
    assert AuditLine.objects.get(pk=line.pk).what == "Something was done."


def test_of_an_audit_line_an_erasure_may_strike_the_words_and_nothing_else(owner):
    line = write_audit(owner, "Wren Attwater was told of.", owner)
    assert strike_audit([owner], ["Wren Attwater"], "Somebody") == 1
    told = AuditLine.objects.get(pk=line.pk)
    assert (told.what, told.who, told.at) == ("Somebody was told of.", owner, line.at)


def test_a_kept_plan_cannot_be_changed_or_taken_away_even_by_plain_sql(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    design = design_with_pattern(owner)
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(), workshop=the_workshop())
    for statement in ("UPDATE plans_plan SET price = 1", "DELETE FROM plans_plan"):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    assert Plan.objects.get().sha256 == plan.sha256


def test_of_a_drawing_the_name_alone_can_be_changed_even_by_plain_sql(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    version = design_with_pattern(owner).versions.get()
    table = version._meta.db_table
    for statement in (
        f"UPDATE {table} SET pattern = '1 sycamore'",
        f"UPDATE {table} SET name = 'Low', number = 2",
        f"UPDATE {table} SET parent_id = NULL",
        f"DELETE FROM {table}",
    ):
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        version.save()
    PatternVersion.objects.filter(pk=version.pk).update(name="Low")
    assert PatternVersion.objects.values("name", "number", "pattern").get() == {
        "name": "Low",
        "number": 1,
        "pattern": version.pattern,
    }


def test_every_trigger_that_should_stand_does():
    assert ledger.missing_triggers() == []


def test_a_trigger_lost_to_a_table_rebuild_is_seen_and_laid_again_by_migrate(transactional_db):
    table = AuditLine._meta.db_table
    name = f"{table}_no_update"
    drop = f'DROP TRIGGER "{name}"' + (f' ON "{table}"' if connection.vendor == "postgresql" else "")
    with connection.cursor() as cursor:
        cursor.execute(drop)
    assert ledger.missing_triggers() == [name]
    call_command("migrate", verbosity=0)
    assert ledger.missing_triggers() == []


def test_a_trigger_of_the_right_name_that_does_nothing_is_seen(transactional_db):
    table = AuditLine._meta.db_table
    name = f"{table}_no_delete"
    if connection.vendor == "postgresql":
        blunt = [f'ALTER TABLE "{table}" DISABLE TRIGGER "{name}"']
    else:
        blunt = [f'DROP TRIGGER "{name}"', f'CREATE TRIGGER "{name}" BEFORE DELETE ON "{table}" BEGIN SELECT 1; END']
    with connection.cursor() as cursor:
        for statement in blunt:
            cursor.execute(statement)
    assert ledger.missing_triggers() == [name]
    ledger.lay_triggers()
    assert ledger.missing_triggers() == []
