"""Every page of money takes a fixed number of queries, however much was invoiced and paid."""

from __future__ import annotations

import pytest
from django.urls import reverse

from tests.rules.test_query_counts import queries
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


@pytest.mark.parametrize("name", MONEY_BASELINE)
def test_the_pages_of_money_take_a_fixed_number_of_queries(owner, owner_client, name):
    one = a_ledger(owner)
    keys = {"payments:account": "account_pk", "payments:credit_note": "credit_pk"}
    args = [] if name in ("payments:invoices", "payments:owed", "payments:new") else [one[keys.get(name, "payments")]]
    address = reverse(name, args=args) + (f"?for={one['asks_for']}" if name == "payments:new" else "")
    with_few = queries(owner_client, address)
    for n in range(4):
        a_ledger(owner, f"sale {n}")
        more_paid(owner, one, 3)
    assert queries(owner_client, address) == with_few <= MONEY_BASELINE[name]
