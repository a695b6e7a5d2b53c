"""A customer opens a link, asks, and says yes or no, once; what was shown to them is kept with it."""

from __future__ import annotations

import hashlib
import json
import secrets
from datetime import timedelta
from fractions import Fraction

import pytest
from django.test import Client
from django.utils import timezone

from planner.measures import Length
from shopapp.common.models import PrivateLink
from shopapp.common.tasks import run_waiting_tasks
from shopapp.common.templatetags.shop import as_length
from shopapp.jobs.models import Job
from shopapp.jobs.readers import jobs_told_wrongly
from shopapp.people.models import Member
from shopapp.plans.actions import keep_plan
from shopapp.plans.models import canonical
from shopapp.quotes.actions import tell_quote
from shopapp.quotes.answering.readers import answers_told_wrongly
from shopapp.quotes.models import QuoteAnswer, QuoteWord
from shopapp.quotes.readers import shown_to_customer
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import work
from tests.support.offers import link_to, page_of, typed
from tests.support.shop import board


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


@pytest.fixture(scope="module")
def quote(owner, plan):
    return work.quote(owner, plan, deposit=Fraction(1, 2), terms="Half on order.", left_out="Putting it up.")


@pytest.fixture(scope="module")
def token(owner, quote):
    return link_to(owner, quote)


@pytest.fixture
def phone():
    """Nobody the shop knows."""
    return Client()


def test_the_page_says_all_that_is_kept_as_shown(phone, quote, token):
    page = phone.get(page_of(token)).content.decode()
    shown = shown_to_customer(quote)
    option = shown["options"][0]
    for words in (
        shown["title"], shown["reference"], shown["for_whom"], shown["words"], shown["care"], shown["left_out"],
        shown["terms"], shown["varies"], shown["whose_picture"], shown["bought"], shown["shop"]["name"],
        option["proof"],
        as_length(option["size"]["wide"]), *(wood["name"] for wood in option["woods"]),
        "€\u00a0240.00", "€\u00a0120.00", f"{quote.valid_until:%-d %B %Y}",
        *(caution["words"] for caution in option["cautions"]),
    ):  # fmt: skip
        assert words in page.replace("&#x27;", "'"), words


def test_the_page_needs_no_script_sets_no_cookie_and_tells_no_other_site_where_it_is(phone, token):
    answer = phone.get(page_of(token))
    assert "<script" not in answer.content.decode() and not answer.cookies
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "no-store" in answer.headers["Cache-Control"]
    assert "noindex" in answer.headers["X-Robots-Tag"]


def test_the_board_is_seen_by_the_link_alone_and_kept_by_the_phone_that_asked(phone, token):
    small = phone.get(f"{page_of(token)}board-1.jpg")
    assert small.headers["Content-Type"] == "image/jpeg" and small.content[:2] == b"\xff\xd8"
    assert small.headers["Cache-Control"].startswith("private, max-age=")
    assert (
        phone.get(f"{page_of(token)}board-1.jpg", headers={"If-None-Match": small.headers["ETag"]}).status_code == 304
    )
    assert len(small.content) < 40_000 < len(phone.get(f"{page_of(token)}board-1.jpg?width=960").content)
    assert phone.get(f"{page_of(token)}board-2.jpg").status_code == 404


def test_the_paper_comes_by_the_link_once_it_is_made(phone, token):
    assert phone.get(f"{page_of(token)}quote.pdf").status_code == 404
    assert "quote.pdf" not in phone.get(page_of(token)).content.decode()
    run_waiting_tasks()
    assert "quote.pdf" in phone.get(page_of(token)).content.decode()
    paper = phone.get(f"{page_of(token)}quote.pdf")
    assert b"".join(paper.streaming_content).startswith(b"%PDF")


def test_yes_is_said_once_and_what_was_shown_is_kept_with_it(phone, quote, token):
    Workshop.objects.update_or_create(pk=1, defaults={"pay_to": "Tidal Bank, 12 34 56"})
    said = typed(token)
    shown = shown_to_customer(quote)
    answer = phone.post(page_of(token), said)
    assert answer.status_code == 302 and answer.url == page_of(token)
    kept = QuoteAnswer.objects.get()
    assert (kept.kind, kept.name, kept.option.place, kept.who) == ("accepted", "Wren Attwater", 1, None)
    assert kept.on == timezone.localdate() and kept.link == PrivateLink.objects.get()
    assert json.loads(kept.shown) == shown and kept.shown == canonical(shown)
    assert kept.shown_sha256 == hashlib.sha256(kept.shown.encode()).hexdigest() == said["seen"]
    assert quote.events.first().words == f"{quote} was accepted by Wren Attwater, by a link; its job begins."
    # The button pressed twice on a slow line.
    again = phone.post(page_of(token), said)
    assert again.status_code == 302 and Job.objects.count() == QuoteAnswer.objects.count() == 1
    page = phone.get(page_of(token)).content.decode()
    assert "Accepted, thank you" in page and "€\u00a0120.00" in page and "Tidal Bank, 12 34 56" in page
    for gone in ("<form", "<button", "Putting it up", "A question"):
        assert gone not in page
    assert jobs_told_wrongly() == []


def test_who_answers_once_more_is_told_what_stands(phone, quote, token):
    late = {do: typed(token, do) for do in ("accept", "decline", "ask")}
    phone.post(page_of(token), typed(token))
    for do, said in late.items():
        answer = phone.post(page_of(token), {**said, "words": "Still?"})
        assert answer.status_code == 409, do
        assert "was accepted by Wren Attwater" in answer.content.decode() and "that stands" in answer.content.decode()
    assert QuoteAnswer.objects.count() == 1 and not QuoteWord.objects.exists()
    assert [event.kind for event in quote.events.all()] == ["accepted", "made"]


def test_of_two_customers_with_a_link_each_one_wins_and_the_other_is_told(owner, phone, quote, token):
    other = link_to(owner, quote, days=3)
    mine, theirs = typed(token), typed(other, "decline", name="Robin Attwater")
    phone.post(page_of(token), mine)
    answer = phone.post(page_of(other), theirs)
    assert answer.status_code == 409 and "was accepted by Wren Attwater" in answer.content.decode()
    assert QuoteAnswer.objects.get().link.expires_at > timezone.now() + timedelta(days=59)
    # The other link goes when its own day is over.
    assert PrivateLink.objects.first().expires_at < timezone.now() + timedelta(days=5)


def test_one_of_several_boards_is_chosen_and_its_plan_is_the_job_s(owner, phone, plan):
    version = plan.design.versions.get()
    wide = keep_plan(who=owner, version=version, board=board(side_border=Length.of_mm(85)), workshop=the_workshop())
    quote = work.quote(owner, plan, wide)
    token = link_to(owner, quote)
    page = phone.get(page_of(token)).content.decode()
    assert page.count('type="radio"') == 2 and "Which one" in page
    for wrong in ("", "3", "x", "1 OR 1"):
        answer = phone.post(page_of(token), typed(token, option=wrong))
        assert answer.status_code == 422 and not Job.objects.exists()
        assert "Choose one of them" in answer.content.decode() or "Choose one of the list" in answer.content.decode()
    phone.post(page_of(token), typed(token, option="2"))
    job = Job.objects.get()
    assert job.plan == wide and QuoteAnswer.objects.get().option.place == 2
    assert f"proof {quote.reference}/2" in job.events.last().words


def test_no_is_said_with_a_reason_or_without(phone, quote, token):
    phone.post(page_of(token), typed(token, "decline", reason="It is lovely, but\nfar too large."))
    answer = QuoteAnswer.objects.get()
    assert (answer.kind, answer.option, answer.name) == ("declined", None, "Wren Attwater")
    assert QuoteWord.objects.get().words.startswith("It is lovely, but")
    assert quote.events.first().words == f"{quote} was declined by Wren Attwater, by a link."
    page = phone.get(page_of(token)).content.decode()
    assert "Declined" in page and "<form" not in page and not Job.objects.exists()


def test_a_question_reaches_the_shop_and_its_answer_stands_at_the_link(owner, owner_client, phone, quote, token):
    phone.post(page_of(token), typed(token, "ask", words="Can it hang in a <b>bathroom</b>?"))
    word = QuoteWord.objects.get()
    assert word.who is None and word.link is not None
    assert "Your question reached the shop" in phone.get(page_of(token)).content.decode()
    page = owner_client.get("/").content.decode()
    assert f"A question about {quote.reference}" in page and "<b>bathroom" not in page
    answered = owner_client.post(
        f"/quotes/{quote.pk}/answer/", {"words": "Better not: the air is damp.", "form_key": secrets.token_urlsafe(24)}
    )
    assert answered.url == quote.get_absolute_url()
    page = phone.get(page_of(token)).content.decode()
    assert "Better not: the air is damp." in page and "Your question reached" not in page and "mara" not in page
    assert "A question about" not in owner_client.get("/").content.decode()


def test_what_cannot_be_is_said_beside_what_was_typed(phone, token):
    for do, field, text, words in (
        ("accept", "name", "", "Nothing is written here yet"),
        ("accept", "name", "x" * 81, "too long"),
        ("decline", "reason", "x" * 601, "too long"),
        ("decline", "name", "a\x00b", "no text can hold"),
        ("ask", "words", "", "Nothing is written here yet"),
        ("ask", "words", "y" * 1001, "too long"),
    ):
        answer = phone.post(page_of(token), typed(token, do, **{"words": "How?", "reason": "No.", field: text}))
        page = answer.content.decode()
        assert answer.status_code == 422 and words in page, (do, field)
        assert not text or text.replace("\x00", "") in page.replace("\x00", ""), (do, field)
    assert not QuoteAnswer.objects.exists() and not QuoteWord.objects.exists()


def test_a_shop_that_called_the_job_off_asks_for_no_money_by_the_link(owner, phone, token):
    phone.post(page_of(token), typed(token))
    work.move(owner, Job.objects.get(), "called off")
    page = phone.get(page_of(token)).content.decode()
    assert "Called off" in page and "nothing more is to be paid" in page and "Pay to" not in page


def test_an_answer_that_is_not_what_was_shown_or_stands_in_no_event_is_found_by_verify(phone, quote, token):
    phone.post(page_of(token), typed(token))
    assert answers_told_wrongly() == []
    QuoteAnswer.objects.update(shown="{}")
    assert answers_told_wrongly() == [f"What was shown when {quote} was answered is not what was kept."]


def test_a_quote_that_was_sent_is_answered_like_one_that_was_only_made(owner, phone, quote, token):
    tell_quote(who=owner, quote=quote, kind="sent")
    phone.post(page_of(token), typed(token))
    assert QuoteAnswer.objects.get().kind == "accepted"
