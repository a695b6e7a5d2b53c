"""Enquiries as the owner sees them."""

from __future__ import annotations

import re
from urllib.parse import quote

from django.core.exceptions import ValidationError
from django.db.models import Case, IntegerField, QuerySet, Value, When

from shopapp.common.mail import address_of
from shopapp.listings.models import Enquiry
from shopapp.people.models import Way

A_PAGE = 50
_PHONE = re.compile(r"[\d\s()./+-]*\d[\d\s()./+-]*")


def enquiries() -> QuerySet[Enquiry]:
    """What waits for an answer first, then the rest, newest first."""
    waits = Case(When(state=Enquiry.State.NEW, then=Value(0)), default=Value(1), output_field=IntegerField())
    return Enquiry.objects.select_related("listing__piece", "person").order_by(waits, "-pk")


def waiting(most: int = 5) -> list[Enquiry]:
    """The newest that wait for an answer. One query."""
    return list(Enquiry.objects.filter(state=Enquiry.State.NEW).select_related("listing").order_by("-pk")[:most])


def mail_of(way: str) -> str:
    """The way somebody wrote, where it is one e-mail address and nothing else; else ""."""
    try:
        return address_of(way)
    except ValidationError:
        return ""


def way_of(way: str) -> str:
    """Which kind of way it is."""
    if mail_of(way):
        return Way.Kind.MAIL
    digits = sum(sign.isdigit() for sign in way)
    return Way.Kind.PHONE if _PHONE.fullmatch(way) and digits >= 3 else Way.Kind.OTHER


def answer_link(enquiry: Enquiry) -> str:
    """What opens the owner's own mail or phone to answer (RFC 6068, RFC 3966); "" for a way neither knows."""
    kind = way_of(enquiry.way)
    if kind == Way.Kind.MAIL:
        about = f"Your question about {enquiry.listing.title}" if enquiry.listing else "Your question"
        return f"mailto:{quote(mail_of(enquiry.way), safe='@')}?subject={quote(about)}"
    return f"tel:{re.sub(r'[^0-9+]', '', enquiry.way)}" if kind == Way.Kind.PHONE else ""
