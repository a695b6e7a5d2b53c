"""A quote that is accepted expects its money and its deposit; called off, none is, and what was paid is told."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.test import Client
from django.urls import reverse

from shopapp.jobs.buying.readers import choices
from shopapp.jobs.models import Job
from shopapp.payments.models import Account, AccountEvent
from shopapp.payments.readers import standing
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.money import invoiced, paid
from tests.support.offers import link_to, page_of, typed


@pytest.fixture
def quote(owner):
    Workshop.objects.update_or_create(pk=1, defaults={"name": "Reedbank Workshop", "pay_to": "Tidal Bank, 12 34 56"})
    return work.quote(owner, work.kept(owner), deposit=Fraction(1, 2))


@pytest.fixture
def token(owner, quote):
    return link_to(owner, quote)


@pytest.fixture
def job(quote, token):
    Client().post(page_of(token), typed(token))
    return Job.objects.get()


def test_what_was_accepted_is_owed_from_that_moment_with_its_deposit(job, quote, owner_client):
    account = Account.objects.get()
    # By hand: one board at 240.00, half of it asked before wood is bought.
    assert (account.key, account.gross, account.deposit) == (f"quote {quote.pk}", Decimal("240"), Decimal("120"))
    page = owner_client.get(job.get_absolute_url()).content.decode()
    assert "A deposit of €\u00a0120.00 is asked before wood is bought." in page
    assert AccountEvent.objects.count() == 1


def test_the_buying_list_says_whose_deposit_is_not_in_until_it_is(owner, job, owner_client):
    asked = {"asked": "1", "for": f"job.{job.pk}", "waste": "25"}

    def page() -> str:
        return owner_client.get(reverse("jobs:buying"), asked).content.decode()

    assert choices(the_workshop())[0].deposit_lacks
    assert "the deposit is not in" in page() and f"The deposit is not in for {job.label}." in page()
    paid(owner, invoiced(owner, Account.objects.get(), "deposit"), "120.00")
    assert not choices(the_workshop())[0].deposit_lacks and "Not to be bought yet" not in page()


def test_the_link_thanks_for_the_deposit_once_it_is_in(owner, job, token):
    phone = Client()
    assert "Tidal Bank" in phone.get(page_of(token)).content.decode()
    paid(owner, invoiced(owner, Account.objects.get(), "deposit"), "120.00")
    page = phone.get(page_of(token)).content.decode()
    assert "€\u00a0120.00 is paid" in page and "The deposit is in." in page and "Tidal Bank" not in page


def test_a_job_called_off_expects_no_more_and_says_what_becomes_of_wood_and_money(owner, job, quote):
    paid(owner, invoiced(owner, Account.objects.get(), "deposit"), "120.00")
    work.move(owner, job, "called off")
    words = job.events.first().words
    assert words.startswith(f"{job.label} was called off.")
    assert "€\u00a0120.00 was paid for it; what of that goes back is said by a credit note" in words
    assert standing(f"quote {quote.pk}").stopped
    work.move(owner, job, "planned")
    assert not standing(f"quote {quote.pk}").stopped and AccountEvent.objects.count() == 3


def test_a_job_of_no_quote_is_called_off_without_a_word_of_money(owner, db):
    job = work.move(owner, work.job(owner), "called off")
    assert job.events.first().words == "Flag was called off."
