"""Finished pieces to test with."""

from __future__ import annotations

from decimal import Decimal

from django.utils import timezone

from shopapp.listings.checks import (
    expenses_undone_wrongly,
    listings_told_wrongly,
    pieces_told_wrongly,
    sales_that_do_not_add_up,
)
from shopapp.listings.models import Piece, Sale
from shopapp.listings.pieces.actions import number_pieces
from shopapp.listings.selling.actions import sell
from tests.support import work


def piece(owner, plan=None, label: str = "Heron", **changes) -> Piece:
    """A finished board that has its number."""
    done = work.move(owner, work.job(owner, plan, label=label, **changes), "under way", "finished")
    return number_pieces(who=owner, job=done)[0]


def sold(owner, piece: Piece, price: str = "240.00", **changes) -> Sale:
    facts = {"price": Decimal(price), "on": timezone.localdate(), "how": "cash", "to_whom": "Robin"}
    return sell(who=owner, piece=piece, **{**facts, **changes})


def told_wrongly() -> list[str]:
    """What `manage.py verify` says of pieces and sales."""
    checks = (listings_told_wrongly, pieces_told_wrongly, sales_that_do_not_add_up, expenses_undone_wrongly)
    return [fault for check in checks for fault in check()]
