"""A browser that is signed in, as the framework's ``force_login`` leaves it: one row, where that writes a session,
looks for its key three times and moves it to another. Signing in itself is asked of the page (tests/people)."""

from __future__ import annotations

import secrets
from datetime import timedelta

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from shopapp.people.models import Member


def sign_in(client: Client, member: Member) -> None:
    said = {
        SESSION_KEY: str(member.pk),
        BACKEND_SESSION_KEY: settings.AUTHENTICATION_BACKENDS[0],
        HASH_SESSION_KEY: member.get_session_auth_hash(),
    }
    key = secrets.token_hex(16)
    ends = timezone.now() + timedelta(seconds=settings.SESSION_COOKIE_AGE)
    Session.objects.create(session_key=key, session_data=SessionStore().encode(said), expire_date=ends)
    client.cookies[settings.SESSION_COOKIE_NAME] = key
