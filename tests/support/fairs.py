"""Fairs to test with: planned, packed for, sold at."""

from __future__ import annotations

import secrets
from datetime import date, timedelta
from decimal import Decimal

from django.utils import timezone

from shopapp.listings.fairs.actions import FairFacts, pack, plan_fair, write_expense, write_hours
from shopapp.listings.fairs.sending import read_sent, write
from shopapp.listings.models import Fair, Piece
from tests.support import work
from tests.support.pieces import piece


def fair(owner, name: str = "Harbour fair", first: date | None = None, days: int = 2, **changes) -> Fair:
    """A fair of so many days, from today on unless told."""
    first = first or timezone.localdate()
    facts = {"name": name, "town": "Fenland", "first": first, "last": first + timedelta(days=days - 1)}
    return plan_fair(who=owner, facts=FairFacts(**{**facts, "hour": Decimal(20), **changes}))


def packed(owner, fair: Fair, *labels: str) -> list[Piece]:
    """Numbered pieces packed for a fair; none is listed."""
    pieces = [piece(owner, label=label) for label in labels]
    pack(who=owner, fair=fair, pieces=pieces)
    return [Piece.objects.get(pk=one.pk) for one in pieces]


def listed(owner, plan, label: str, price: str) -> Piece:
    """A numbered piece that is listed."""
    one = piece(owner, plan, label=label)
    work.listing(owner, one.job, title=label, price=Decimal(price))
    return one


def tapped(owner, fair: Fair, piece: Piece, price: str = "180", key: str = "", **more) -> str:
    """What a phone sends of one sale; the words in answer."""
    given = {"kind": "sale", "fair": str(fair.pk), "piece": str(piece.pk), "price": price, "how": "cash",
             "sale": key or secrets.token_hex(16), **more}  # fmt: skip
    return write(who=owner, sent=read_sent(given, timezone.now()))


def fair_pages(owner, piece: Piece) -> dict[str, int]:
    """A fair with a cost, hours and a piece there, and how its addresses are filled."""
    one = fair(owner)
    pack(who=owner, fair=one, pieces=[Piece.objects.get(pk=piece.pk)])
    cost = write_expense(who=owner, fair=one, kind="stall", amount=Decimal(60), on=one.first)
    write_hours(who=owner, fair=one, on=one.first, minutes=450)
    return {"fair_pk": one.pk, "expense_pk": cost.pk}
