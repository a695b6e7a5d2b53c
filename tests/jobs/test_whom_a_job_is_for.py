"""A job is for somebody of the book of people; who is erased leaves no name in jobs, answers, questions and letters."""

from __future__ import annotations

import json
import secrets

import pytest
from django.test import Client
from django.urls import reverse

from shopapp.common.models import AuditLine, Letter, PrivateLink
from shopapp.jobs.actions import accept_quote
from shopapp.jobs.models import Job, JobEvent
from shopapp.lumber.models import Demand
from shopapp.people import book
from shopapp.people.known.erasing import erase_person
from shopapp.people.models import Person
from shopapp.quotes.answering.actions import answer_question, ask
from shopapp.quotes.models import QuoteAnswer, QuoteEvent, QuoteWord
from tests.support import work
from tests.support.offers import link_to, page_of, typed
from tests.support.people import somebody


def write(client, **changes):
    given = {"label": "Flag", "kind": "gift", "due": "", "plan": "", "form_key": secrets.token_urlsafe(24), **changes}
    return client.post(reverse("jobs:new"), given)


def test_somebody_of_the_book_is_chosen_by_typing_or_written_into_it(owner_client):
    wren = somebody("Wren Attwater")
    assert write(owner_client, for_whom="Wren Attwater").status_code == 302
    job = Job.objects.get()
    assert (job.person, job.for_whom) == (wren, "Wren Attwater")
    page = owner_client.get(job.get_absolute_url()).content.decode()
    assert wren.get_absolute_url() in page
    assert write(owner_client, label="Bell", for_whom="Robin Sedge").status_code == 302
    assert Job.objects.get(label="Bell").person == Person.objects.get(name="Robin Sedge")


def test_a_job_refused_writes_nobody_into_the_book(owner_client):
    key = secrets.token_urlsafe(24)
    assert write(owner_client, for_whom="Robin Sedge", label="").status_code == 422
    write(owner_client, for_whom="Robin Sedge", form_key=key)
    write(owner_client, for_whom="Ash Ferrow", form_key=key)
    assert list(Person.objects.values_list("name", flat=True)) == ["Robin Sedge"]


def test_a_job_for_somebody_else_now_is_told(owner, owner_client):
    work.job(owner, label="Flag", for_whom="Robin")
    job = Job.objects.get()
    address = reverse("jobs:change", args=[job.pk])
    given = {"label": "Flag", "kind": "gift", "due": "", "plan": "", "edit_version": "1"}
    owner_client.post(address, {**given, "for_whom": "Wren Attwater", "form_key": secrets.token_urlsafe(24)})
    assert job.events.first().words == (
        "It is a gift, for Wren Attwater now. It stands with Wren Attwater in the book of people."
    )
    assert 'value="Wren Attwater"' in owner_client.get(address).content.decode()


def test_the_job_of_a_quote_is_for_whom_the_quote_was(owner):
    wren = somebody("Wren Attwater")
    quote = work.quote(owner, work.kept(owner), person=wren)
    assert accept_quote(who=owner, quote=quote, label="Flag").person == wren


@pytest.fixture
def answered(owner):
    """A quote that was asked about, answered and accepted, and a letter sent."""
    wren = somebody("Wren Attwater", way="wren@quay.example")
    quote = work.quote(owner, work.kept(owner), person=wren, title="Flag for Wren Attwater")
    token = link_to(owner, quote)
    ask(quote=quote, link=PrivateLink.objects.get(), words="I am Wren Attwater of the quay: how heavy is it?")
    answer_question(who=owner, quote=quote, words="About 900 g, Wren Attwater.")
    Letter.objects.create(subject=f"quote {quote.pk}", about="offer", to="wren@quay.example", words="Hello Wren")
    Client().post(page_of(token), typed(token, name="W. Attwater"))
    return wren, token


def test_the_book_tells_what_they_were_made_and_what_they_said(answered):
    wren, _ = answered
    words = [one.words for one in book.history_of(wren)]
    job = Job.objects.get()
    assert f"{job.label} was begun; it is planned." in words
    assert any("was accepted" in one for one in words) and any("question was asked" in one for one in words)
    held = book.held_of(wren)
    assert held["jobs"]["jobs"][0]["label"] == "Flag for Wren Attwater"
    assert held["answers"]["answered"][0]["name"] == "W. Attwater"
    assert held["answers"]["answered"][0]["shown"]["for_whom"] == "Wren Attwater"
    assert held["answers"]["letters"][0]["to"] == "wren@quay.example"
    assert [row[2] for row in held["answers"]["said"]] == ["they", "the shop"]
    assert json.dumps(held)


def test_who_is_erased_leaves_no_name_and_no_word_in_jobs_answers_questions_and_letters(owner, answered):
    wren, token = answered
    before = QuoteAnswer.objects.get().shown_sha256
    told = erase_person(who=owner, person=wren, typed="Wren Attwater").gone
    assert "1 × answer, 2 × question or answer to one, 1 × letter" in told and "1 job" in told
    tables = (Job, JobEvent, Demand, QuoteAnswer, QuoteEvent, QuoteWord, Letter, AuditLine)
    text = str([list(table.objects.values()) for table in tables])
    for name in ("Wren Attwater", "W. Attwater", "wren@quay", "Hello Wren", "how heavy", "900 g"):
        assert name not in text, name
    answer = QuoteAnswer.objects.get()
    assert answer.shown_sha256 == before and json.loads(answer.shown)["options"][0]["gross"] == "240.00"
    assert Client().get(page_of(token)).status_code == 404
    wren.refresh_from_db()
    assert "answers" not in book.held_of(wren) and "jobs" not in book.held_of(wren)
