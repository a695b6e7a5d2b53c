"""What goes over the wire: to whom, under which name, and who may keep it."""

from __future__ import annotations

import logging
import os
import secrets
import subprocess
import sys

import pytest
from django.conf import settings as django_settings
from django.test import Client
from django.urls import reverse

from shopapp.designs.models import Design
from tests.support.shop import add_woods, design_with_pattern

PASSWORD = "a long enough password"


@pytest.fixture
def design(owner):
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return design_with_pattern(owner)


def test_behind_tls_the_frameworks_own_inspection_finds_nothing(tmp_path):
    environment = {
        **os.environ,
        "KERFSTEAD_TLS": "1",
        "KERFSTEAD_HOSTS": "boards.example",
        "KERFSTEAD_DATA": str(tmp_path),
        "KERFSTEAD_SECRET_KEY": secrets.token_urlsafe(64),
        "KERFSTEAD_NO_BOOTSTRAP": "1",
    }
    # The browser tests of the same run may have set it for themselves.
    environment.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    done = subprocess.run(command, cwd=django_settings.BASE_DIR, env=environment, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "no issues (0 silenced)" in done.stdout


def test_no_page_is_kept_by_anybody_and_a_picture_is_asked_for_each_time(owner_client, design):
    for page in (
        "home:start",
        "plans:plans",
        "workshop:settings",
        "designs:designs",
        "lumber:woods",
        "people:password",
    ):
        assert owner_client.get(reverse(page)).headers["Cache-Control"] == "private, no-store", page
    picture = reverse("common:image", args=[design.grid_id])
    first = owner_client.get(picture)
    assert first.headers["Cache-Control"] == "private, no-cache"
    assert owner_client.get(picture, headers={"If-None-Match": first.headers["ETag"]}).status_code == 304
    owner_client.logout()
    assert owner_client.get(picture, headers={"If-None-Match": first.headers["ETag"]}).status_code == 302


def test_every_refusal_carries_the_content_policy_and_words(owner_client, client, owner):
    refused = {
        400: owner_client.get("/", headers={"host": "elsewhere.example"}),
        404: owner_client.get("/nowhere/"),
        405: owner_client.post(reverse("designs:designs")),
    }
    from shopapp.people.models import Member

    helper = Client()
    helper.force_login(Member.objects.create_user("joss", password=PASSWORD))
    refused[403] = helper.get(reverse("workshop:settings"))
    for status, answer in refused.items():
        assert answer.status_code == status
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"], status
        assert status == 405 or "<h1>" in answer.content.decode(), status


def test_another_hosts_name_gets_no_page_and_is_never_repeated(client):
    answer = client.get(reverse("people:sign_in"), headers={"host": "elsewhere.example"})
    assert answer.status_code == 400 and b"elsewhere" not in answer.content


def test_without_the_token_against_forgery_nothing_is_done(owner, design):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(owner)
    for page, typed in (
        (reverse("designs:set_aside", args=[design.pk]), {"aside": "1", "form_key": secrets.token_urlsafe(24)}),
        (reverse("people:sign_out"), {}),
        (reverse("workshop:section", args=["hours"]), {}),
    ):
        answer = browser.post(page, typed, headers={"origin": "https://elsewhere.example"})
        assert answer.status_code == 403, page
    assert not Design.objects.filter(set_aside=True).exists()
    assert browser.get(reverse("home:start")).status_code == 200


def test_what_is_typed_as_a_password_is_not_in_the_log(client, owner, caplog):
    caplog.set_level(logging.DEBUG)
    client.post(reverse("people:sign_in"), {"username": "mara", "password": "not-this-one-4711"})
    client.post(reverse("people:sign_in"), {"username": "mara", "password": PASSWORD})
    client.post(reverse("people:password"), {"old_password": PASSWORD, "new_password1": "kept-to-myself"})
    told = caplog.text
    assert not any(secret in told for secret in ("not-this-one-4711", PASSWORD, "kept-to-myself"))


def test_the_session_cookie_is_out_of_reach_of_scripts_and_other_sites(client, owner):
    client.post(reverse("people:sign_in"), {"username": "mara", "password": PASSWORD})
    cookie = client.cookies[django_settings.SESSION_COOKIE_NAME]
    assert cookie["httponly"] and cookie["samesite"] == "Lax"
