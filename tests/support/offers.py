"""Quotes on their way to a customer: a link to one, and its page sent as a phone sends it."""

from __future__ import annotations

import secrets
from datetime import timedelta

from django.urls import reverse

from shopapp.quotes.answering.actions import hash_of, make_link
from shopapp.quotes.answering.readers import opened
from shopapp.quotes.models import Quote


def link_to(owner, quote: Quote, days: int | None = None) -> str:
    """The token of a new link that opens as long as the quote is valid, or so many days from its date."""
    until = quote.valid_until if days is None else quote.dated + timedelta(days=days)
    return make_link(who=owner, quote=quote, until=until)[1]


def page_of(token: str) -> str:
    return reverse("offered:offer", args=[token])


def typed(token: str, do: str = "accept", **changes) -> dict[str, str]:
    """The page of a link as it is sent: as it was seen, with a key of its own."""
    seen = opened(token)
    return {
        "do": do,
        "form_key": secrets.token_urlsafe(24),
        "seen": hash_of(seen.shown) if seen else "",
        "option": "1",
        "name": "Wren Attwater",
        **changes,
    }
