"""Payments are entries: in parts, more than owed only when it is said, given back, and taken back by another entry."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.payments.actions import MoneyMoved, expect, stop_expecting
from shopapp.payments.balances import balances_of
from shopapp.payments.models import Payment
from shopapp.payments.paying.actions import MoreThanOwed, Paid, give_back, take_back
from shopapp.payments.readers import standing
from shopapp.people.models import Member
from tests.support.money import credited, deal, invoiced, paid


@pytest.fixture
def invoice(db):
    return invoiced(None, expect(None, deal()), "deposit")


def balance(invoice):
    return balances_of([invoice])[0]


def returned(invoice, amount: str) -> Payment:
    return give_back(who=None, invoice=invoice, paid=Paid(timezone.localdate(), Decimal(amount), "cash"))


def test_paid_in_two_parts_it_is_open_between_and_paid_after(invoice):
    today = timezone.localdate()
    assert balance(invoice).state(today) == "open"
    assert balance(invoice).state(invoice.due + timedelta(days=1)) == "overdue"
    paid(None, invoice, "200")
    assert balance(invoice).open == Decimal("186.00") and balance(invoice).state(today) == "paid in part"
    assert not standing("quote 12").deposit_is_in
    paid(None, invoice, "186", how="cash")
    assert balance(invoice).state(today) == "paid"
    how = standing("quote 12")
    assert how.deposit_is_in and how.paid == Decimal("386.00") and how.open == Decimal("386.00")
    assert how.words == "€\u00a0386.00 is paid, €\u00a0386.00 is open. The deposit is in."


def test_a_deposit_that_was_credited_in_part_is_in_once_what_is_left_of_it_is_paid(invoice):
    credited(None, invoice, "86")
    paid(None, invoice, "300")
    how = standing("quote 12")
    assert how.deposit == Decimal(300) and how.deposit_is_in and how.owed == Decimal(772)


def test_it_is_overdue_from_the_day_after_the_one_it_was_to_be_paid_by(invoice):
    assert not balance(invoice).is_overdue(invoice.due)
    assert balance(invoice).days_late(invoice.due + timedelta(days=3)) == 3


def test_more_than_is_open_is_asked_about_and_told(invoice):
    with pytest.raises(MoreThanOwed, match=r"14\.00 more"):
        paid(None, invoice, "400")
    assert not Payment.objects.exists()
    paid(None, invoice, "400", more_is_meant=True)
    assert balance(invoice).to_give_back == Decimal("14.00")
    returned(invoice, "14")
    assert balance(invoice).state(timezone.localdate()) == "paid"


def test_no_more_is_given_back_than_was_paid(invoice):
    paid(None, invoice, "50")
    with pytest.raises(PlannerError, match=r"50\.00 was paid"):
        returned(invoice, "50.01")


def test_a_wrong_entry_is_taken_back_by_another_once_and_both_stay(invoice):
    wrong = paid(None, invoice, "38.60")
    undone = take_back(who=None, payment=wrong)
    assert (undone.amount, undone.takes_back, balance(invoice).paid) == (Decimal("-38.60"), wrong, 0)
    for entry in (wrong, undone):
        with pytest.raises(MoneyMoved, match="taken back already"):
            take_back(who=None, payment=entry)
    assert Payment.objects.count() == 2


def test_what_was_given_back_is_taken_back_before_what_was_paid(invoice):
    entry = paid(None, invoice, "100")
    gone = returned(invoice, "40")
    with pytest.raises(MoneyMoved, match=r"40\.00 was given back since"):
        take_back(who=None, payment=entry)
    take_back(who=None, payment=gone)
    take_back(who=None, payment=entry)
    assert balance(invoice).paid == 0


def test_called_off_after_the_deposit_came_in_a_credit_note_says_what_goes_back(invoice):
    paid(None, invoice, "386")
    stop_expecting(None, "quote 12", "Heron was called off.")
    assert "what of that goes back is said by a credit note" in standing("quote 12").words
    credited(None, invoice, "300", "Called off; the wood was cut already.")
    how = standing("quote 12")
    assert how.to_give_back == Decimal(300)
    assert how.words == "It was called off. €\u00a0300.00 was paid for it and is to be given back."
    returned(invoice, "300")
    assert standing("quote 12").to_give_back == 0


def test_a_helper_writes_no_payment_down(invoice):
    joss = Member.objects.create_user("joss", password="x", role=Member.Role.HELPER)
    entry = paid(None, invoice, "5")
    for act in (
        lambda: paid(joss, invoice, "1"),
        lambda: give_back(who=joss, invoice=invoice, paid=Paid(timezone.localdate(), Decimal(1), "cash")),
        lambda: take_back(who=joss, payment=entry),
    ):
        with pytest.raises(PermissionDenied):
            act()
