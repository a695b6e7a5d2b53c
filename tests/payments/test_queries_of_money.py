"""Every page of money takes a fixed number of queries, however much was invoiced and paid."""

from __future__ import annotations

from django.urls import reverse

from tests.rules.test_query_counts import above, counted
from tests.support.money import a_ledger, more_paid

# Money, with one invoice of each kind and with many.
MONEY_BASELINE = {
    "payments:invoices": 7,
    "payments:owed": 8,
    "payments:account": 10,
    "payments:invoice": 15,
    "payments:credit_note": 6,
    "payments:new": 7,
    "payments:pay": 6,
}


def test_the_pages_of_money_take_a_fixed_number_of_queries(owner, owner_client):
    one = a_ledger(owner)
    keys = {"payments:account": "account_pk", "payments:credit_note": "credit_pk"}
    of_nothing = ("payments:invoices", "payments:owed", "payments:new")
    pages = {
        name: reverse(name, args=[] if name in of_nothing else [one[keys.get(name, "payments")]])
        for name in MONEY_BASELINE
    }
    pages["payments:new"] += f"?for={one['asks_for']}"
    with_few = counted(owner_client, pages)
    for n in range(4):
        a_ledger(owner, f"sale {n}")
        more_paid(owner, one, 3)
    assert counted(owner_client, pages) == with_few
    assert above(with_few, MONEY_BASELINE) == {}
