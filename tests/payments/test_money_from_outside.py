"""The ledger's arithmetic against what others published, a few plain lines in fractions, and plain SQL."""

from __future__ import annotations

import json
import random
from decimal import Decimal
from fractions import Fraction
from math import floor
from pathlib import Path

import pytest
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.payments.actions import account_of, expect
from shopapp.payments.balances import balances_of
from shopapp.payments.deals import DealLine
from shopapp.payments.invoices.drafts import Kind, first_lines
from shopapp.payments.models import Invoice
from shopapp.payments.planning import Sums, sums_of_credit, sums_of_deposit, sums_of_invoice
from tests.support.money import credited, deal, invoiced, paid

WORKED = json.loads((Path(__file__).parents[1] / "reference" / "worked-invoices.json").read_text())


@pytest.mark.parametrize("one", WORKED["tax"], ids=lambda one: one["what"])
def test_tax_is_what_the_published_examples_have(one):
    lines = [DealLine("", 1, Decimal(one["price"]))]
    sums = sums_of_invoice(lines, Fraction(one["tax"]), one["included"], 2)
    assert [str(amount) for amount in (sums.net, sums.tax, sums.gross)] == [one["net"], one["of_it"], one["gross"]]


@pytest.mark.parametrize("one", WORKED["prepaid"], ids=lambda one: one["what"])
def test_what_is_due_is_the_total_less_what_was_asked_before(one):
    """EN 16931, BR-CO-16: amount due = total with VAT less paid amount."""
    taken = Sums(Decimal(0), Decimal(0), Decimal(one["prepaid"]))
    sums = sums_of_invoice([DealLine("", 1, Decimal(one["net"]))], Fraction(one["tax"]), False, 2, [taken])
    assert str(sums.gross) == one["due"]


def half_up(value: Fraction, cents: int) -> Fraction:
    """A half away from nought, for sums that are not below it."""
    return Fraction(floor(value * cents + Fraction(1, 2)), cents)


def random_deal(rng: random.Random):
    exponent = rng.choice([0, 2, 2, 2, 3])
    lines = tuple(
        DealLine("A board", rng.randint(1, 12), Decimal(rng.randint(1, 10 ** rng.randint(2, 6))).scaleb(-exponent))
        for _ in range(rng.randint(1, 5))
    )
    return deal(
        lines=lines,
        carriage=Decimal(rng.choice([0, rng.randint(1, 9999)])).scaleb(-exponent),
        tax=rng.choice([Fraction(0), Fraction(rng.randint(1, 300_000), 10**6), Fraction(1, 5), Fraction(19, 100)]),
        tax_included=rng.random() < 0.5,
        deposit=rng.choice([Fraction(1, 2), Fraction(1, 3), Fraction(rng.randint(0, 1000), 1000)]),
        currency_exponent=exponent,
    )


def test_deposit_and_rest_are_the_whole_to_the_coin_and_so_are_their_taxes_over_many_deals():
    rng = random.Random(20261129)
    split = 0
    for _ in range(1500):
        one = random_deal(rng)
        account, cents = account_of(one), 10**one.currency_exponent
        # The oracle: the whole, its tax, the deposit and the tax in it, each rounded once.
        lines = sum((Fraction(line.each) * line.count for line in one.lines), Fraction(one.carriage))
        tax = half_up(lines * (one.tax / (1 + one.tax) if one.tax_included else one.tax), cents)
        gross = lines if one.tax_included else lines + tax
        asked = half_up(gross * one.deposit, cents)
        assert (Fraction(account.gross), Fraction(account.deposit)) == (gross, asked)
        whole = sums_of_invoice(first_lines(account, Kind.WHOLE), one.tax, one.tax_included, one.currency_exponent)
        assert (Fraction(whole.gross), Fraction(whole.tax)) == (gross, tax) and whole.net + whole.tax == whole.gross
        if not 0 < asked < gross:
            continue
        deposit = sums_of_deposit(account.deposit, one.tax, one.currency_exponent)
        assert Fraction(deposit.tax) == half_up(asked * one.tax / (1 + one.tax), cents)
        rest = sums_of_invoice(
            first_lines(account, Kind.REST), one.tax, one.tax_included, one.currency_exponent, [deposit]
        )
        assert Fraction(rest.gross) == gross - asked and Fraction(rest.tax) == tax - Fraction(deposit.tax)
        assert rest.net + rest.tax == rest.gross and 0 <= rest.tax <= rest.gross
        split += 1
    assert split > 1100


def test_parts_that_are_credited_add_up_to_the_invoice_with_their_tax_over_many_of_them():
    rng = random.Random(8)
    for _ in range(600):
        gross = Decimal(rng.randint(1, 500_000)).scaleb(-2)
        whole = sums_of_deposit(gross, Fraction(rng.randint(0, 300), 1000), 2)
        before, notes = Decimal(0), []
        while before < gross:
            left = int((gross - before) * 100)
            amount = Decimal(rng.randint(1, left) if len(notes) < 6 else left).scaleb(-2)
            notes.append(sums_of_credit(whole, before, amount, 2))
            before += amount
        assert sum(note.tax for note in notes) == whole.tax and sum(note.gross for note in notes) == gross
        assert all(0 <= note.tax <= note.gross and note.net + note.tax == note.gross for note in notes)


def test_what_is_less_than_its_own_tax_is_refused_rather_than_bent():
    lines = [DealLine("", 1, Decimal("0.01"))]
    with pytest.raises(PlannerError, match="Nothing is left to pay"):
        sums_of_invoice(lines, Fraction(1, 5), True, 2, [Sums(Decimal("0.01"), Decimal(0), Decimal("0.01"))])
    with pytest.raises(PlannerError, match="less than its own tax"):
        sums_of_invoice(lines, Fraction(0), True, 2, [Sums(Decimal("-0.02"), Decimal("0.02"), Decimal(0))])


def test_the_pages_sums_are_those_plain_sql_adds_up(owner, owner_client):
    for n in range(3):
        account = expect(owner, deal(key=f"quote {n}", carriage=Decimal(f"1{n}.3{n}")))
        deposit = invoiced(owner, account, "deposit")
        paid(owner, deposit, f"10{n}.0{n}")
        if n:
            credited(owner, deposit, f"3.7{n}")
            invoiced(owner, account, "rest")
    with connection.cursor() as cursor:
        cursor.execute("SELECT sum(round(gross * 100)) FROM payments_invoice")
        asked = int(cursor.fetchone()[0])
        cursor.execute("SELECT sum(round(gross * 100)) FROM payments_creditnote")
        gone = int(cursor.fetchone()[0])
        cursor.execute("SELECT sum(round(amount * 100)) FROM payments_payment")
        came = int(cursor.fetchone()[0])
        cursor.execute("SELECT sum(round(gross * 100)) FROM payments_account")
        agreed = int(cursor.fetchone()[0])
    (table,) = owner_client.get(reverse("payments:owed")).context["tables"]
    assert table.invoiced * 100 == asked - gone - came
    # What was credited of a deposit before the rest was invoiced is asked with the rest.
    assert (table.invoiced + table.not_invoiced) * 100 == agreed - came
    balances = balances_of(Invoice.objects.all())
    assert sum(one.open for one in balances) * 100 == asked - gone - came
    lines = owner_client.get(reverse("payments:invoices")).context["lines"]
    assert sum(line.invoice.gross for line in lines) * 100 == asked
    assert not any(one.is_overdue(timezone.localdate()) for one in balances)
