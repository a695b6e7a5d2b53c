"""A customer who asked, accepted, paid and was given something: every part of the shop tells of them, gives out what it
holds, and forgets them; what the tax office wants stays its years, and goes then."""

from __future__ import annotations

from datetime import date

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shopapp.common.models import PrivateLink, StoredDocument, TakenAway
from shopapp.common.tasks import run_waiting_tasks
from shopapp.jobs.actions import JobFacts, make_job
from shopapp.jobs.models import Job
from shopapp.listings.enquiries.actions import take_into_book
from shopapp.listings.selling.actions import give, sell
from shopapp.payments.models import Account
from shopapp.people.book import held_of, history_of, kept_of
from shopapp.people.known.erasing import erase_person, still_standing
from shopapp.people.models import Person
from shopapp.quotes.answering.actions import answer_question, ask
from shopapp.quotes.models import QuoteWord
from shopapp.workshop.models import Workshop
from tests.support import visitors, work
from tests.support.money import invoiced, paid
from tests.support.offers import link_to, page_of, typed
from tests.support.people import somebody

NAME, MAIL = "Wren Attwater", "wren@boathouse.example"


def asked_and_accepted(owner) -> Person:
    """From an enquiry to a board that is finished, all in the words of the pages."""
    Workshop.objects.update_or_create(pk=1, defaults={"name": "Reedbank Workshop", "keep_years": 10})
    wren = somebody(NAME, way=MAIL, address="Creek Lane 4", notes="By phone.")
    plan = work.kept(owner)
    quote = work.quote(owner, plan, person=wren, words=f"For {NAME}, as we spoke.", terms=f"As {NAME} asked.")
    token = link_to(owner, quote)
    ask(quote=quote, link=PrivateLink.objects.get(), words=f"Is it oiled? {NAME}")
    answer_question(who=owner, quote=quote, words=f"Yes, {NAME}.")
    assert Client().post(page_of(token), typed(token, name=NAME)).status_code in (200, 302)
    job = work.move(owner, Job.objects.get(quote=quote), "under way", "finished", "handed over")
    assert job.person == wren
    gift = make_job(who=owner, facts=JobFacts("Flag", "gift", person=wren))
    listing = work.listing(owner, work.move(owner, gift, "under way", "finished"))
    sell(who=owner, piece=listing.piece, on=timezone.localdate(), to_whom=wren, price=listing.price, how="cash")
    other = work.listing(owner, gift, title="Pennant")
    give(who=owner, piece=other.piece, on=timezone.localdate(), to_whom=wren)
    take_into_book(who=owner, enquiry=visitors.asked(listing, name=NAME, way=MAIL), person=wren)
    run_waiting_tasks()
    return wren


def in_the_database_s_words() -> str:
    return "\n".join(f"{what}: {count}" for what, count in still_standing(NAME).items())


@pytest.mark.django_db
def test_every_part_of_the_shop_tells_gives_out_and_forgets(owner, owner_client, django_capture_on_commit_callbacks):
    wren = asked_and_accepted(owner)
    urls = {one.url for one in history_of(wren)}
    assert {reverse(name, args=[1])[:6] for name in ("quotes:quote", "jobs:job", "listings:listing")} <= {
        url[:6] for url in urls
    }
    for url in urls:
        assert owner_client.get(url.split("#")[0]).status_code == 200, url
    held = held_of(wren)
    assert {"people", "quotes", "answers", "jobs", "listings", "enquiries", "payments"} <= set(held)
    papers = set(StoredDocument.objects.values_list("name", flat=True))
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(who=owner, person=wren, typed=NAME)
    assert still_standing(NAME) == {} and still_standing(MAIL) == {}, in_the_database_s_words()
    assert not QuoteWord.objects.filter(words__icontains="oiled").exists()
    wren.refresh_from_db()
    assert held_of(wren) == {}
    assert set(TakenAway.objects.values_list("name", flat=True)) <= papers and TakenAway.objects.exists()
    for url in urls:
        body = owner_client.get(url.split("#")[0]).content.decode()
        assert NAME not in body and "Attwater" not in body, url
    call_command("verify")


@pytest.mark.django_db
def test_an_invoice_stays_with_its_name_for_its_years_and_goes_after_them(owner, monkeypatch):
    wren = asked_and_accepted(owner)
    account = Account.objects.filter(person=wren).first()
    paid(owner, invoiced(owner, account), "20")
    assert any(f"until the end of {timezone.localdate().year + 10}" in words for words in kept_of(wren)), kept_of(wren)
    first = erase_person(who=owner, person=wren, typed=NAME)
    assert first.kept and NAME not in first.kept and still_standing(NAME)
    later = date(timezone.localdate().year + 11, 1, 2)
    monkeypatch.setattr(timezone, "localdate", lambda value=None, timezone=None: later)
    wren.refresh_from_db()
    assert kept_of(wren) == []
    erase_person(who=owner, person=wren, typed="erase")
    assert still_standing(NAME) == {}, in_the_database_s_words()
