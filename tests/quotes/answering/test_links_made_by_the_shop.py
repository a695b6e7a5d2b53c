"""The maker makes a link, is shown it once, sees which links there are, and takes one back."""

from __future__ import annotations

import re
import secrets
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shopapp.common.models import PrivateLink
from shopapp.people.models import Member
from shopapp.quotes.actions import tell_quote
from shopapp.quotes.answering.actions import make_link, revoke_link
from shopapp.quotes.models import Quote
from tests.support import work


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def kept(owner):
    return work.quote(owner, work.kept(owner))


@pytest.fixture
def quote(kept, db):
    return Quote.objects.get(pk=kept.pk)


def make(client, quote, **changes):
    typed = {"until": quote.valid_until.isoformat(), "form_key": secrets.token_urlsafe(24), **changes}
    return client.post(reverse("quotes:link", args=[quote.pk]), typed)


def test_a_link_is_shown_once_and_opens(owner_client, quote):
    answer = make(owner_client, quote)
    page = answer.content.decode()
    address = re.search(r'value="(http://testserver/offer/[A-Za-z0-9_-]{43}/)"', page)[1]
    assert "shown this once" in page and answer.headers["Referrer-Policy"] == "no-referrer"
    assert "no-store" in answer.headers["Cache-Control"]
    token = address.split("/")[-2]
    assert Client().get(f"/offer/{token}/").status_code == 200
    for later in (
        owner_client.get(quote.get_absolute_url()),
        owner_client.get(reverse("quotes:link", args=[quote.pk])),
    ):
        assert token not in later.content.decode() and "/offer/" not in later.content.decode()


def test_a_button_pressed_twice_makes_one_link_and_shows_it_to_nobody_again(owner_client, quote):
    key = secrets.token_urlsafe(24)
    make(owner_client, quote, form_key=key)
    again = make(owner_client, quote, form_key=key)
    assert again.url == quote.get_absolute_url() and PrivateLink.objects.count() == 1
    assert "shown once only" in owner_client.get(again.url).content.decode()


def test_links_are_listed_with_their_days_and_taken_back(owner, owner_client, quote):
    make(owner_client, quote, until=(timezone.localdate() + timedelta(days=2)).isoformat())
    link = PrivateLink.objects.get()
    page = owner_client.get(quote.get_absolute_url()).content.decode()
    last = timezone.localdate() + timedelta(days=2)
    assert f"opens until the end of {last:%-d %b %Y}" in page
    address = reverse("quotes:revoke", args=[quote.pk, link.pk])
    for said in ("That link opens nothing any more", "That link was revoked before"):
        owner_client.post(address, {"form_key": secrets.token_urlsafe(24)})
        assert said in owner_client.get(quote.get_absolute_url()).content.decode()
    page = owner_client.get(quote.get_absolute_url()).content.decode()
    assert "revoked" in page and "Revoke<" not in page
    other = work.quote(owner, quote.options.get().plan)
    assert owner_client.post(reverse("quotes:revoke", args=[other.pk, link.pk])).status_code == 404


def test_a_link_opens_no_longer_than_the_quote_is_valid_and_not_into_the_past(owner_client, quote):
    for until, words in (
        ((quote.valid_until + timedelta(days=1)).isoformat(), "is not valid so long"),
        ((timezone.localdate() - timedelta(days=1)).isoformat(), "That day is past"),
        ("", "Nothing is written here yet"),
        ("2026-02-30", "cannot be read"),
    ):
        answer = make(owner_client, quote, until=until)
        assert answer.status_code == 422 and words in answer.content.decode(), until
    assert not PrivateLink.objects.exists()


def test_no_link_is_made_to_what_came_to_an_end(owner, owner_client, quote):
    tell_quote(who=owner, quote=quote, kind="lapsed")
    answer = make(owner_client, quote)
    assert answer.status_code == 422 and "is lapsed" in answer.content.decode()
    assert "Make a link" not in owner_client.get(quote.get_absolute_url()).content.decode()


def test_links_are_the_owner_s_alone(db, quote, owner):
    helper = Member.objects.create_user("joss", password="x")
    link, _ = make_link(who=owner, quote=quote, until=quote.valid_until)
    with pytest.raises(PermissionDenied):
        make_link(who=helper, quote=quote, until=quote.valid_until)
    with pytest.raises(PermissionDenied):
        revoke_link(who=helper, quote=quote, link=link)


def test_a_link_is_named_by_the_address_customers_reach(owner_client, quote, settings):
    settings.ALLOWED_HOSTS = ["*"]
    page = owner_client.get(quote.get_absolute_url(), headers={"Host": "localhost:8000"}).content.decode()
    assert "Only this machine can open it" in page
    settings.PUBLIC_ROOT = "https://boards.reedbank.example"
    page = make(owner_client, quote).content.decode()
    assert "https://boards.reedbank.example/offer/" in page and "Only this machine" not in page
