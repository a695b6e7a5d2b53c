"""What a customer accepted is what is invoiced, to the cent: deposit, rest and tax as the quote had them."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from shopapp.jobs.actions import accept_quote
from shopapp.payments.models import Account
from shopapp.payments.readers import standing
from shopapp.quotes.figures import figures_of
from shopapp.workshop.models import Workshop
from tests.support import work
from tests.support.money import credited, invoiced, paid


@pytest.mark.parametrize("included", [True, False], ids=["held", "on top"])
def test_deposit_and_rest_are_the_quote_s_own_sums(owner, included):
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Decimal("0.19"), "tax_included": included})
    plan = work.kept(owner, quantity=3)
    quote = work.quote(owner, plan, price=Decimal("127.35"), carriage=Decimal("11.90"), deposit=Fraction(3, 10))
    (offered,) = figures_of(quote)["options"]
    accept_quote(who=owner, quote=quote, label="Flag")
    account = Account.objects.get()
    assert (account.key, account.gross) == (f"quote {quote.pk}", Decimal(offered["gross"]))
    deposit, rest = (invoiced(owner, account, kind) for kind in ("deposit", "rest"))
    assert (deposit.gross, rest.gross) == (Decimal(offered["deposit"]), Decimal(offered["rest"]))
    assert deposit.tax_sum + rest.tax_sum == Decimal(offered["tax"])
    assert deposit.net + rest.net == Decimal(offered["net"])


def test_a_job_tells_what_is_paid_until_it_is_called_off_and_again_when_it_is_taken_up(owner, owner_client):
    quote = work.quote(owner, work.kept(owner), deposit=Fraction(1, 2))
    job = accept_quote(who=owner, quote=quote, label="Flag")
    page = owner_client.get(job.get_absolute_url()).content.decode()
    address = f"{reverse('payments:new')}?for=quote-{quote.pk}"
    assert "A deposit of €\u00a0120.00 is asked before wood is bought." in page and address in page
    assert owner_client.get(address).context["kind"] == "deposit"
    deposit = invoiced(owner, Account.objects.get(), "deposit")
    paid(owner, deposit, "120")
    assert "The deposit is in." in owner_client.get(job.get_absolute_url()).content.decode()
    work.move(owner, job, "called off")
    credited(owner, deposit, "100", "Called off before the wood was bought.")
    page = owner_client.get(job.get_absolute_url()).content.decode()
    assert "It was called off. €\u00a0100.00 was paid for it and is to be given back." in page
    work.move(owner, job, "planned")
    assert standing(f"quote {quote.pk}").owed == Decimal("240.00")
