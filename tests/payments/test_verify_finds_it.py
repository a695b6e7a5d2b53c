"""`manage.py verify` says in a sentence where the ledger is not what it should be, and nothing where it is."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection

from shopapp.common.files import faults_of_stored_files, file_path
from shopapp.common.tasks import run_waiting_tasks
from shopapp.common.verification import questions
from shopapp.payments import checks
from shopapp.payments.models import Invoice, MoneyPaper
from tests.support.money import a_ledger

OURS = (
    checks.numbers_with_gaps, checks.sums_that_are_not_their_lines, checks.balances_that_cannot_be,
    checks.papers_that_are_missing,
)  # fmt: skip


@pytest.fixture
def ledger(db):
    return a_ledger(None)


def by_force(statement: str) -> None:
    """Change a row past its triggers, as a damaged or meddled-with database would have it."""
    table = statement.split()[1] if statement.startswith("UPDATE") else statement.split()[2]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            for act in ("update", "delete"):
                cursor.execute(f'DROP TRIGGER IF EXISTS "{table}_no_{act}"')
            cursor.execute(statement)
        else:
            cursor.execute("SET CONSTRAINTS ALL IMMEDIATE")
            cursor.execute(f"ALTER TABLE {table} DISABLE TRIGGER USER")
            cursor.execute(statement)
            cursor.execute(f"ALTER TABLE {table} ENABLE TRIGGER USER")


def found() -> list[str]:
    return [fault for find_faults in OURS for fault in find_faults()]


def test_of_a_sound_ledger_nothing_is_said_and_verify_asks_all_of_it(ledger):
    assert found() == []
    assert set(OURS) <= {find_faults for _, find_faults in questions()}


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("UPDATE payments_invoice SET number = 9 WHERE kind = 'rest'", "have no number 2"),
        ("UPDATE payments_invoice SET gross = gross + 1 WHERE kind = 'rest'", "is not the sum of its lines"),
        ("UPDATE payments_invoice SET tax_sum = tax_sum - 0.01, net = net + 0.01", "is not the sum of its lines"),
        ("UPDATE payments_invoiceline SET amount = amount + 0.01 WHERE place = 1", "is not its count times its price"),
        ("UPDATE payments_invoiceline SET place = 7 WHERE place = 2", "has lost a line"),
        ("UPDATE payments_takenoff SET gross = gross - 1, net = net - 1", "is not the sum of its lines"),
        ("UPDATE payments_invoice SET kind = 'whole' WHERE kind = 'rest'", "takes off what it should not"),
        ("UPDATE payments_account SET gross = gross + 1", "is not what its lines come to"),
        ("UPDATE payments_creditnote SET gross = 999, net = 997.33", "More is credited of Deposit invoice"),
        ("UPDATE payments_creditnote SET net = net + 1", "is not the sum of its parts"),
        ("UPDATE payments_payment SET amount = -200", "More was given back of"),
        ("DELETE FROM payments_moneypaper WHERE credit_note_id IS NOT NULL", "No paper was asked for Credit note"),
    ],
)
def test_what_was_meddled_with_is_named(ledger, statement, said):
    by_force(statement)
    assert any(said in fault for fault in found()), found()


def test_days_that_do_not_follow_the_numbers_are_named(ledger):
    first = Invoice.objects.order_by("number").first()
    before = first.dated - timedelta(days=1)
    by_force(f"UPDATE payments_invoice SET dated = '{before.isoformat()}' WHERE kind = 'rest'")
    assert any("in the order of their numbers" in fault or "other years" in fault for fault in found())


def test_a_paper_that_was_changed_on_the_disk_is_named_by_the_question_of_all_files(ledger):
    run_waiting_tasks()
    assert faults_of_stored_files() == []
    name = MoneyPaper.objects.first().document.name
    file_path(name).write_bytes(b"%PDF-1.7 another")
    assert faults_of_stored_files() == [f"{name} is not the file that was stored."]
