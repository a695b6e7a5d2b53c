"""Whoever tries a link that is not theirs, or one that opens nothing, learns nothing and changes nothing."""

from __future__ import annotations

import re
import secrets
from datetime import datetime, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shopapp.common import links
from shopapp.common.models import PrivateLink, SpentKey, ThrottleBucket
from shopapp.jobs.models import Job
from shopapp.jobs.offered import views
from shopapp.people.models import Member
from shopapp.quotes.actions import tell_quote
from shopapp.quotes.models import Quote, QuoteAnswer, QuoteEvent, QuoteWord
from tests.support import work
from tests.support.offers import link_to, page_of, typed

ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"
WRITES = re.compile(r"^\s*(INSERT|UPDATE|DELETE|REPLACE)", re.IGNORECASE)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


@pytest.fixture(scope="module")
def quote(owner, plan):
    return work.quote(owner, plan)


@pytest.fixture
def token(owner, quote, db):
    return link_to(owner, quote)


@pytest.fixture
def phone():
    return Client()


@pytest.fixture
def plain(phone, db) -> bytes:
    """The page of a link nobody ever made."""
    answer = phone.get(page_of("x" * 43))
    assert answer.status_code == 404
    return answer.content


def nothing_recorded() -> bool:
    return not (Job.objects.exists() or QuoteAnswer.objects.exists() or QuoteWord.objects.exists())


def told(answer) -> tuple:
    """All an answer tells: status, heads and bytes."""
    return answer.status_code, sorted(answer.headers.items()), answer.content


def test_every_character_of_a_token_counts(phone, token, plain):
    """Each of its 43 places, with a sample of other letters there; the last letter of 43 holds four bits, so some of
    the letters there would decode alike, and yet none opens."""
    tried = 0
    for place, letter in enumerate(token):
        others = [other for other in ALPHABET[(place * 7) % 13 :: 13] if other != letter]
        if place == len(token) - 1:
            others = [other for other in ALPHABET if other != letter]
        for other in others:
            answer = phone.get(page_of(token[:place] + other + token[place + 1 :]))
            assert (answer.status_code, answer.content) == (404, plain), place
            tried += 1
    assert tried > 200


def test_a_link_that_opens_nothing_is_one_page_whatever_the_reason(owner, plan, phone, plain):
    def gone(token: str, end) -> str:
        end()
        return token

    def link_of_new() -> tuple[Quote, str, PrivateLink]:
        quote = work.quote(owner, plan)
        return quote, link_to(owner, quote), PrivateLink.objects.first()

    reasons = {}
    quote, token, link = link_of_new()
    reasons["revoked"] = gone(token, lambda: links.revoke(who=owner, link=link))
    quote, token, link = link_of_new()
    reasons["expired"] = gone(token, lambda: PrivateLink.objects.filter(pk=link.pk).update(expires_at=timezone.now()))
    replaced, token, _ = link_of_new()
    reasons["replaced"] = gone(token, lambda: work.quote(owner, plan, replaces=replaced))
    for kind in ("withdrawn", "lapsed"):
        quote, token, _ = link_of_new()
        reasons[kind] = gone(token, lambda quote=quote, kind=kind: tell_quote(who=owner, quote=quote, kind=kind))
    day = timezone.localdate() - timedelta(days=1)
    past = work.quote(owner, plan, dated=day, valid_until=day)
    reasons["past"] = links.make(who=owner, subject=f"quote {past.pk}", until=timezone.now() + timedelta(days=1))[1]
    for subject in ("quote 999999", "quote x", "quote", "listing 1", f"quote {quote.pk} "):
        reasons[subject] = links.make(who=owner, subject=subject, until=timezone.now() + timedelta(days=1))[1]
    quote, token, _ = link_of_new()
    reasons |= {
        "mistyped": token[:-1], "half": token[:20], "with a stop": f"{token}.", "with a bracket": f"{token})",
        "capitals": token.swapcase(), "long": token * 20, "odd": "%00", "umlauts": "Grüße",
    }  # fmt: skip
    unknown = phone.get(page_of("x" * 43))
    for reason, token in reasons.items():
        with CaptureQueriesContext(connection) as taken:
            answer = phone.get(f"/offer/{token}/")
        assert told(answer) == told(unknown) and answer.content == plain, reason
        assert len(taken) == 3 and not any(WRITES.match(one["sql"]) for one in taken), reason
        for below in ("board-1.jpg", "quote.pdf", "anything/else/"):
            assert told(phone.get(f"/offer/{token}/{below}")) == told(unknown), (reason, below)
        assert told(phone.post(f"/offer/{token}/", typed(token))) == told(unknown), reason
    assert nothing_recorded() and not ThrottleBucket.objects.exists()


def test_a_get_changes_nothing_not_even_a_counter(phone, token):
    for below in ("", "board-1.jpg", "quote.pdf", "?do=accept&option=1&name=Wren", "?form_key=" + "x" * 30):
        with CaptureQueriesContext(connection) as taken:
            phone.get(page_of(token) + below)
            phone.head(page_of(token) + below)
        assert not [one["sql"] for one in taken if WRITES.match(one["sql"])], below
    assert nothing_recorded()


def test_only_reading_and_sending_are_known_there(phone, token):
    for address in (page_of(token), page_of("x" * 43)):
        for method in ("put", "patch", "delete", "options"):
            assert getattr(phone, method)(address).status_code == 405


def test_another_quote_s_token_answers_its_own_quote_alone(owner, plan, phone, quote, token):
    """What one page said, sent by the link of another."""
    other = work.quote(owner, plan, for_whom="Ash Ferrow", title="A tide bell")
    others = link_to(owner, other)
    answer = phone.post(page_of(others), typed(token))
    assert answer.status_code == 409 and nothing_recorded()
    assert "A tide bell" in answer.content.decode() and "nothing was recorded" in answer.content.decode()
    phone.post(page_of(others), typed(others, name="Ash Ferrow"))
    assert QuoteAnswer.objects.get().quote == other and quote.events.get().kind == "made"


@pytest.mark.parametrize("key", ["", "x", "a b c d e f g h i j k l m n", "x" * 65, "ü" * 30, "'" * 30])
def test_nothing_is_recorded_without_a_key(phone, token, key):
    for do in ("accept", "decline", "ask"):
        answer = phone.post(page_of(token), typed(token, do, form_key=key, words="How?"))
        assert answer.status_code == 422 and "send it once more" in answer.content.decode()
    assert nothing_recorded() and not SpentKey.objects.exists()


def test_a_key_that_was_spent_elsewhere_opens_no_second_door(owner, phone, token):
    SpentKey.objects.create(key="k" * 30)
    assert phone.post(page_of(token), typed(token, form_key="k" * 30)).status_code == 302
    assert nothing_recorded()


@pytest.mark.parametrize("seen", ["", "x", "0" * 64, "A" * 5000])
def test_who_did_not_see_what_the_page_says_accepts_nothing(phone, token, seen):
    for do in ("accept", "decline"):
        answer = phone.post(page_of(token), typed(token, do, seen=seen))
        assert answer.status_code == 409 and "nothing was recorded" in answer.content.decode()
    assert nothing_recorded()


def test_what_ends_between_the_page_and_the_answer_is_refused_in_words(owner, plan, phone, plain):
    for end in ("revoked", "replaced", "withdrawn", "lapsed", "declined"):
        quote = work.quote(owner, plan)
        token = link_to(owner, quote)
        said = typed(token)
        if end == "revoked":
            links.revoke(who=owner, link=PrivateLink.objects.first())
        elif end == "replaced":
            work.quote(owner, plan, replaces=quote)
        else:
            tell_quote(who=owner, quote=quote, kind=end)
        answer = phone.post(page_of(token), said)
        page = answer.content.decode()
        if end == "declined":
            assert answer.status_code == 409 and "declined" in page and "Nothing was changed" in page
        else:
            assert (answer.status_code, answer.content) == (404, plain) and "it was not recorded" in page, end
    assert nothing_recorded()


def test_what_ends_after_the_page_was_looked_up_is_refused_under_the_lock(owner, plan, phone, plain, monkeypatch):
    """The link opened when the answer came in, and was revoked before it could be written."""
    quote = work.quote(owner, plan)
    token = link_to(owner, quote)
    said = typed(token)
    opened = views.readers.opened(token)
    links.revoke(who=owner, link=opened.link)
    monkeypatch.setattr(views.readers, "opened", lambda token: opened)
    for do in ("accept", "decline", "ask"):
        answer = phone.post(page_of(token), {**said, "do": do, "form_key": secrets.token_urlsafe(24), "words": "How?"})
        assert (answer.status_code, answer.content) == (404, plain)
    assert nothing_recorded() and not QuoteEvent.objects.filter(quote=quote).exclude(kind="made").exists()


def test_a_link_and_a_quote_end_at_midnight_where_the_shop_is(owner, plan, phone, settings, monkeypatch):
    """23:59:59 still opens, 00:00:00 does not; and an answer that is sent a moment late is none."""
    quote = work.quote(owner, plan)
    token = link_to(owner, quote)
    said = typed(token)
    midnight = links.end_of(quote.valid_until)

    def at(moment: datetime) -> None:
        monkeypatch.setattr(timezone, "now", lambda: moment)

    at(midnight - timedelta(seconds=1))
    assert phone.get(page_of(token)).status_code == 200
    at(midnight)
    assert phone.get(page_of(token)).status_code == 404
    assert phone.post(page_of(token), said).status_code == 404 and nothing_recorded()
    at(midnight - timedelta(seconds=1))
    assert phone.post(page_of(token), said).status_code == 302
    # What was accepted at the last moment can still be looked up the day after.
    at(midnight + timedelta(days=1))
    assert "Accepted, thank you" in phone.get(page_of(token)).content.decode()
    at(midnight + timedelta(days=61))
    assert phone.get(page_of(token)).status_code == 404


def test_what_is_far_too_long_is_not_even_read(phone, token):
    answer = phone.post(page_of(token), typed(token, "ask", words="x" * (views.LONGEST_POST + 1)))
    assert answer.status_code == 413 and "longer than this page takes" in answer.content.decode()
    assert "xxxx" not in answer.content.decode() and nothing_recorded()


def test_questions_are_few_at_once_by_one_link_and_from_one_place(owner, plan, phone, token):
    answers = [phone.post(page_of(token), typed(token, "ask", words=f"Question {n}?")) for n in range(6)]
    assert [one.status_code for one in answers] == [302] * 4 + [429] * 2
    assert "Question 5?" in answers[-1].content.decode() and "Wait some minutes" in answers[-1].content.decode()
    assert QuoteWord.objects.count() == 4
    other = link_to(owner, work.quote(owner, plan))
    assert phone.post(page_of(other), typed(other, "ask", words="And by another?")).status_code == 429
    elsewhere = phone.post(page_of(other), typed(other, "ask", words="From home?"), REMOTE_ADDR="192.0.2.7")
    assert elsewhere.status_code == 302
    # Saying yes or no is never kept waiting by questions.
    assert phone.post(page_of(token), typed(token)).status_code == 302 and Job.objects.count() == 1


def test_what_a_customer_writes_stands_nowhere_as_a_page_of_its_own(phone, owner_client, quote, token):
    evil = '<script>alert(1)</script>"><img src=x onerror=alert(1)>'
    phone.post(page_of(token), typed(token, "ask", words=evil))
    phone.post(page_of(token), typed(token, name=evil[:80]))
    for page in (page_of(token), quote.get_absolute_url(), "/", Job.objects.get().get_absolute_url(), "/quotes/"):
        body = owner_client.get(page).content.decode()
        assert "<script>alert" not in body and "<img src=x" not in body, page


def test_nothing_but_the_token_opens_what_lies_behind_it(phone, quote):
    link = (
        PrivateLink.objects.order_by("pk").first()
        or links.make(who=None, subject=f"quote {quote.pk}", until=timezone.now() + timedelta(days=1))[0]
    )
    for guess in (str(link.pk), link.sha256, str(quote.pk), quote.reference, f"quote {quote.pk}", "", " "):
        assert phone.get(f"/offer/{guess}/").status_code == 404
    assert phone.get("/offer/").status_code == 404
    assert phone.get(quote.get_absolute_url()).status_code == 302


def test_a_token_stands_in_no_log_when_its_page_is_not_found_or_breaks(phone, token, monkeypatch, capsys):
    import logging
    import logging.config

    from django.conf import settings

    logging.config.dictConfig(settings.LOGGING)
    phone.raise_request_exception = False
    wrong = token[:-4] + "xxxx"
    phone.get(page_of(wrong))
    monkeypatch.setattr(views.readers, "opened", lambda token: 1 / 0)
    assert phone.get(page_of(token)).status_code == 500
    said = capsys.readouterr().err
    assert "/offer/…/" in said and "ZeroDivisionError" in said
    assert token not in said and wrong not in said and token[:12] not in said
