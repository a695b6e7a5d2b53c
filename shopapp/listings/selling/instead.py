"""A remake goes to whoever lost the piece it stands in for: no price is asked, its cost stands with that loss."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from django.db import transaction

from planner.errors import PlannerError
from shopapp.listings.models import Piece, PieceEvent
from shopapp.listings.telling import ListingMoved
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only

from .actions import give, hold_piece

Spend = Callable[[], None]
Where = Piece.Where


def is_somebody_s(lost: Piece) -> bool:
    """Whether somebody paid for it or was given it, and has nothing back yet."""
    return lost.sale_id is not None or lost.where in (Where.GIVEN, Where.SENT)


def send_instead(*, who: Member | None, piece: Piece, on: date, spend: Spend = lambda: None) -> PieceEvent:
    """A free piece goes out in the place of the one it stands in for, to the same person. Raises ListingMoved where
    that one is nobody's any more, and as ``give`` does."""
    owner_only(who)
    with transaction.atomic():
        spend()
        piece = hold_piece(piece)
        if piece.instead_of_id is None:
            raise PlannerError(f"{piece} stands in for no other piece.", mend="Say first which, with its name.")
        lost = Piece.objects.select_for_update(of=("self",)).select_related("sale__person").get(pk=piece.instead_of_id)
        if not is_somebody_s(lost):
            raise ListingMoved(f"{lost} is {lost.get_where_display()}, and nobody waits for another.",
                               mend="Sell this one, or give it away.")  # fmt: skip
        return give(who=who, piece=piece, on=on, to_whom=_whose(lost), instead_of=lost)


def _whose(lost: Piece) -> Person | None:
    if lost.sale is not None:
        return lost.sale.person
    event = lost.events.filter(where=Where.GIVEN).select_related("person").first()
    return event.person if event is not None else None
