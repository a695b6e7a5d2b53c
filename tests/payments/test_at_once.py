"""Several people at the book in the same moment: numbers stay without gaps, and no coin is taken twice."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from threading import Barrier, Thread

import pytest
from django.db import connection, transaction

from planner.errors import PlannerError
from shopapp.payments.actions import expect
from shopapp.payments.balances import balances_of
from shopapp.payments.checks import numbers_with_gaps
from shopapp.payments.models import CreditNote, Invoice, Payment
from tests.support.money import credited, deal, invoiced, paid

pytestmark = [pytest.mark.storage, pytest.mark.django_db(transaction=True)]


class LampWentOut(Exception):
    """Something that happens after the number was taken."""


def at_once(*acts: Callable[[], object]) -> list[str]:
    """What became of each act when all begin in the same moment."""
    start, said = Barrier(len(acts)), [""] * len(acts)

    def do(place: int) -> None:
        start.wait()
        try:
            acts[place]()
            said[place] = "done"
        except (PlannerError, LampWentOut) as error:
            said[place] = str(error)
        finally:
            connection.close()

    threads = [Thread(target=do, args=[place]) for place in range(len(acts))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return said


def test_six_at_once_get_numbers_that_follow_on_one_another_and_two_who_are_refused_leave_none_out():
    accounts = [expect(None, deal(key=f"sale {n}")) for n in range(6)]

    def issue(n: int) -> None:
        with transaction.atomic():
            invoiced(None, accounts[n])
            if n in (1, 4):
                raise LampWentOut("out")

    said = at_once(*(lambda n=n: issue(n) for n in range(6)))
    assert sorted(said) == ["done"] * 4 + ["out"] * 2
    assert sorted(Invoice.objects.values_list("number", flat=True)) == [1, 2, 3, 4]
    assert numbers_with_gaps() == []


def test_two_who_write_the_same_invoice_at_once_write_it_once():
    account = expect(None, deal())
    said = at_once(*[lambda: invoiced(None, account)] * 2)
    assert said.count("done") == 1 and any("is for all of it" in words for words in said)
    assert Invoice.objects.get().number == 1


def test_two_who_credit_or_write_down_the_last_of_it_at_once_do_not_both_do_so():
    invoice = invoiced(None, expect(None, deal()))
    said = at_once(*[lambda: credited(None, invoice, "700")] * 2)
    assert said.count("done") == 1 and CreditNote.objects.get().number == 1
    said = at_once(*[lambda: paid(None, invoice, "72")] * 2)
    assert said.count("done") == 1 and Payment.objects.get().amount == Decimal(72)
    (balance,) = balances_of([invoice])
    assert balance.open == balance.to_give_back == 0
