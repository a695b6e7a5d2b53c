"""Private links: a random token opens one thing for somebody who has no name and password here, until a day, or until
it is revoked. The token is shown once, to whoever makes the link, and kept nowhere; only its hash is."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from urllib.parse import urlsplit

from django.conf import settings
from django.db import models, transaction
from django.http import HttpRequest
from django.utils import timezone

from .actions import write_audit
from .models import PrivateLink

# 256 bits from the system's source of chance.
TOKEN_BYTES = 32
KEPT_OPEN_DAYS = 60


def make(*, who: models.Model | None, subject: str, until: datetime) -> tuple[PrivateLink, str]:
    """A new link to ``subject`` and its token, which can be had here and never again. To be called in a transaction."""
    token = secrets.token_urlsafe(TOKEN_BYTES)
    link = PrivateLink.objects.create(sha256=hash_of(token), subject=subject, made_by=who, expires_at=until)
    write_audit(who, f"A link to {subject} was made; it opens until {_minute(until)}.", link)
    return link, token


def hash_of(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def find(token: str, at: datetime | None = None) -> PrivateLink | None:
    """The link of that token, or None: unknown, expired and revoked are not told apart, neither by the answer nor by
    the time it takes. One query, always.

    What is looked up is the token's hash, so that how far a guess was right shows nowhere.
    """
    link = PrivateLink.objects.filter(sha256=hash_of(token)).first()
    return link if link is not None and opens(link, at or timezone.now()) else None


def opens(link: PrivateLink, at: datetime) -> bool:
    return link.revoked_at is None and at < link.expires_at


def lock(link: PrivateLink) -> PrivateLink | None:
    """The link as it is now, held until the transaction is done; None where it opens nothing any more."""
    now = PrivateLink.objects.select_for_update().get(pk=link.pk)
    return now if opens(now, timezone.now()) else None


def revoke(*, who: models.Model | None, link: PrivateLink, spend: Callable[[], None] = lambda: None) -> bool:
    """From now on the link opens nothing. False where it was revoked before."""
    with transaction.atomic():
        spend()
        done = PrivateLink.objects.filter(pk=link.pk, revoked_at=None).update(revoked_at=timezone.now())
        if done:
            write_audit(who, f"A link to {link.subject} was revoked.", link)
    return bool(done)


def keep_open(link: PrivateLink, until: datetime) -> None:
    """The link opens at least until then. To be called in the transaction of what it is kept open for."""
    PrivateLink.objects.filter(pk=link.pk, expires_at__lt=until).update(expires_at=until)


def links_to(subject: str) -> list[PrivateLink]:
    """Newest first. One query."""
    return list(PrivateLink.objects.filter(subject=subject).select_related("made_by"))


def end_of(day: date) -> datetime:
    """The moment a day is over where the shop is: the first that is not of it any more."""
    return timezone.make_aware(datetime.combine(day + timedelta(days=1), time.min))


def last_day(link: PrivateLink) -> date:
    """The last day on which it opens where the shop is."""
    return timezone.localdate(link.expires_at - timedelta(microseconds=1))


def _minute(at: datetime) -> str:
    return f"{timezone.localtime(at):%Y-%m-%d %H:%M}"


def root_of(request: HttpRequest) -> str:
    """Where customers find this machine, without a last stroke: as the settings say, else as it is being used now."""
    return settings.PUBLIC_ROOT or request.build_absolute_uri("/").rstrip("/")


def is_near(root: str) -> bool:
    """Whether an address is that of this machine alone, so that nobody else can open what lies there."""
    return (urlsplit(root).hostname or "") in ("localhost", "127.0.0.1", "::1")


def answered_until() -> datetime:
    """How long a link goes on telling what was answered by it: so that it can be looked up how a deposit is paid."""
    return timezone.now() + timedelta(days=KEPT_OPEN_DAYS)
