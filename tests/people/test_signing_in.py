"""Only who belongs gets in, and guessing is slowed down."""

from __future__ import annotations

import secrets
from types import SimpleNamespace

import pytest
from django.conf import settings
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shopapp.common import throttle
from shopapp.common.models import AuditLine
from shopapp.common.throttle import client_address
from shopapp.people.actions import first_owner, new_password, reset_owner_password
from shopapp.people.models import Member

SIGN_IN = "people:sign_in"


def sign_in(client, name="mara", password="a long enough password", **more):
    return client.post(reverse(SIGN_IN), {"username": name, "password": password}, **more)


def test_the_owner_gets_in_and_out(client, owner):
    assert sign_in(client).url == reverse("home:start")
    assert client.get("/").status_code == 200
    client.post(reverse("people:sign_out"))
    assert client.get("/").status_code == 302


def test_a_wrong_password_is_said_without_telling_which_was_wrong(client, owner):
    wrong = sign_in(client, password="no").content.decode()
    unknown = sign_in(client, name="nobody").content.decode()
    assert "do not belong together" in wrong and "do not belong together" in unknown
    assert 'value="mara"' in wrong


@pytest.fixture
def no_time_passes(monkeypatch):
    """On a machine with much to do one more try would be allowed before the last was sent."""
    now = timezone.now()
    monkeypatch.setattr(throttle, "timezone", SimpleNamespace(now=lambda: now))


@pytest.mark.usefixtures("no_time_passes")
def test_guessing_one_name_is_slowed_down_even_from_many_addresses(client, owner):
    for i in range(8):
        sign_in(client, password="guess", REMOTE_ADDR=f"10.0.0.{i}")
    answer = sign_in(client, REMOTE_ADDR="10.0.0.99")
    assert answer.status_code == 422 and "Too many tries" in answer.content.decode()


@pytest.mark.usefixtures("no_time_passes")
def test_guessing_many_names_from_one_address_is_slowed_down(client, owner):
    for i in range(24):
        sign_in(client, name=f"name{i}", password="guess")
    assert "Too many tries" in sign_in(client).content.decode()


def test_a_forwarded_address_is_believed_only_from_the_shops_own_proxy(rf, settings):
    request = rf.get("/", headers={"X-Forwarded-For": "6.6.6.6, 192.0.2.7"}, REMOTE_ADDR="127.0.0.1")
    settings.TRUSTED_PROXIES = 0
    assert client_address(request) == "127.0.0.1"
    settings.TRUSTED_PROXIES = 1
    assert client_address(request) == "192.0.2.7"


def test_signing_in_leads_nowhere_outside(client, owner):
    answer = client.post(
        reverse(SIGN_IN),
        {"username": "mara", "password": "a long enough password", "next": "https://elsewhere.example/"},
    )
    assert answer.url == reverse("home:start")


@pytest.mark.django_db
def test_the_first_owner_is_made_once_and_a_lost_password_is_replaced_at_the_machine(client):
    password = first_owner("owner")
    assert first_owner("other") is None
    assert sign_in(client, "owner", password).status_code == 302
    name, fresh = reset_owner_password()
    client.logout()
    assert sign_in(client, name, password).status_code == 422
    assert sign_in(client, name, fresh).status_code == 302


@pytest.mark.django_db
def test_the_command_prints_the_password_once(capsys):
    call_command("owner", first=True)
    assert "Sign in as owner with the password" in capsys.readouterr().out
    call_command("owner", first=True)
    assert capsys.readouterr().out == ""


def test_passwords_are_long_and_never_the_same():
    made = {new_password() for _ in range(200)}
    assert len(made) == 200 and all(len(password) >= 25 for password in made)


def test_passwords_are_kept_as_argon2(settings, db):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.Argon2PasswordHasher"]
    assert Member.objects.create_user("x", password="y").password.startswith("argon2$argon2id$")


def test_a_new_password_must_be_long_enough_and_the_session_stays(owner_client):
    short = {"old_password": "a long enough password", "new_password1": "short", "new_password2": "short"}
    assert owner_client.post(reverse("people:password"), short).status_code == 422
    assert owner_client.post(reverse("people:password"), good_password()).status_code == 302
    assert owner_client.get("/").status_code == 200
    assert AuditLine.objects.get().what == "mara chose a new password."


def good_password() -> dict[str, str]:
    return {
        "form_key": secrets.token_urlsafe(24),
        "old_password": "a long enough password",
        "new_password1": "reeds by the creek",
        "new_password2": "reeds by the creek",
    }


def test_a_new_password_sent_twice_is_kept_once_and_not_called_wrong(owner_client):
    form = good_password()
    for _ in range(2):
        assert owner_client.post(reverse("people:password"), form).status_code == 302
    assert AuditLine.objects.count() == 1


def test_a_new_password_ends_every_other_session(owner, owner_client):
    other = Client()
    other.force_login(owner)
    owner_client.post(reverse("people:password"), good_password())
    assert other.get("/").status_code == 302
    assert owner_client.get("/").status_code == 200


def test_signing_in_starts_a_session_of_its_own(client, owner):
    client.get(reverse(SIGN_IN))
    session = client.session
    session["before"] = "here"
    session.save()
    before = session.session_key
    client.cookies[settings.SESSION_COOKIE_NAME] = before
    sign_in(client)
    assert client.session.session_key != before


def test_the_old_password_is_not_to_be_guessed_at_an_open_screen(owner_client):
    wrong = {**good_password(), "old_password": "guess"}
    for _ in range(8):
        owner_client.post(reverse("people:password"), wrong)
    answer = owner_client.post(reverse("people:password"), good_password())
    assert answer.status_code == 422 and "Too many tries" in answer.content.decode()


@pytest.mark.django_db
def test_who_is_made_without_a_word_about_the_role_does_not_see_prices(client):
    client.force_login(Member.objects.create_user("joss", password="x"))
    assert client.get(reverse("plans:plans")).status_code == 403
