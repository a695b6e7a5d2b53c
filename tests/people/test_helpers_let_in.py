"""The owner lets helpers in, stops them at once, and nobody reads a password a second time."""

from __future__ import annotations

import re
import secrets

import pytest
from django.test import Client
from django.urls import reverse

from shopapp.common.models import AuditLine
from shopapp.people.models import Member

RACK = "lumber:rack"


def key() -> str:
    return secrets.token_urlsafe(24)


def let_in(client, name: str = "joss"):
    return client.post(reverse("people:new_member"), {"form_key": key(), "name": name})


def password_on(answer) -> str:
    return re.search(r'class="secret">([^<]+)<', answer.content.decode())[1]


def act(client, helper: Member, do: str, **more: str):
    return client.post(reverse("people:member_act", args=[helper.pk]), {"form_key": key(), "do": do, **more})


def signed_in(name: str, password: str) -> Client:
    client = Client()
    client.post(reverse("people:sign_in"), {"username": name, "password": password})
    return client


def stands_in_the_shop(client) -> bool:
    return client.get(reverse(RACK)).status_code == 200


def test_a_helper_signs_in_with_the_password_that_is_shown_once(owner_client):
    answer = let_in(owner_client)
    password = password_on(answer)
    assert answer.headers["Cache-Control"] == "no-store" and len(password) > 25
    helper = Member.objects.get(username="joss")
    assert not helper.is_owner and not helper.is_staff and not helper.is_superuser
    assert stands_in_the_shop(signed_in("joss", password))
    for page in (reverse("people:members"), reverse("people:new_member")):
        assert password not in owner_client.get(page).content.decode()
    assert not AuditLine.objects.filter(what__contains=password).exists()


def test_a_form_sent_twice_lets_one_helper_in_and_shows_no_other_password(owner_client):
    sent = {"form_key": key(), "name": "joss"}
    owner_client.post(reverse("people:new_member"), sent)
    again = owner_client.post(reverse("people:new_member"), sent)
    assert again.url == reverse("people:members") and Member.objects.filter(role="helper").count() == 1


@pytest.mark.parametrize(
    ("name", "words"), [("MARA", "signs in as MARA already"), ("a b", "cannot have"), ("", "Write")]
)
def test_a_name_that_cannot_be_is_refused_in_words(owner_client, name, words):
    answer = let_in(owner_client, name)
    assert answer.status_code == 422 and words in answer.content.decode() and Member.objects.count() == 1


def test_a_helper_who_is_stopped_is_out_at_the_next_page_and_may_come_back(owner_client):
    password = password_on(let_in(owner_client))
    helper = Member.objects.get(username="joss")
    at_the_bench = signed_in("joss", password)
    assert stands_in_the_shop(at_the_bench)
    act(owner_client, helper, "stop")
    assert at_the_bench.get(reverse(RACK)).url.startswith(reverse("people:sign_in"))
    assert not stands_in_the_shop(signed_in("joss", password))
    assert "stopped" in owner_client.get(reverse("people:members")).content.decode()
    act(owner_client, helper, "again")
    assert stands_in_the_shop(signed_in("joss", password))


def test_a_new_password_ends_what_was_begun_with_the_old_one(owner_client):
    old = password_on(let_in(owner_client))
    helper, at_the_bench = Member.objects.get(username="joss"), signed_in("joss", old)
    new = password_on(act(owner_client, helper, "password"))
    assert new != old and not stands_in_the_shop(at_the_bench)
    assert not stands_in_the_shop(signed_in("joss", old)) and stands_in_the_shop(signed_in("joss", new))


@pytest.mark.parametrize("do", ["stop", "password", "again", "nonsense"])
def test_no_owner_is_locked_out_from_here(owner_client, owner, do):
    before = owner.password
    answer = act(owner_client, owner, do)
    assert answer.url == reverse("people:members")
    owner.refresh_from_db()
    assert owner.is_active and owner.password == before and stands_in_the_shop(owner_client)


def test_a_helper_lets_nobody_in_and_stops_nobody(client, owner):
    helper = Member.objects.create_user("joss", password="x")
    client.force_login(helper)
    assert let_in(client, "tam").status_code == 403
    for do in ("stop", "again", "password"):
        assert act(client, helper, do).status_code == 403
    assert Member.objects.count() == 2 and not AuditLine.objects.exists()
