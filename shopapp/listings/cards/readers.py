"""The words on cards, what pieces cost on their tags, where their codes lead, and how far a paper is."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from django.db.models import QuerySet
from django.urls import reverse

from shopapp.common.documents import paper_state
from shopapp.common.tasks import TaskState
from shopapp.listings.models import CardWords, Channel, Listing, Offering, Piece, PiecePaper
from shopapp.listings.public.readers import shop_page
from shopapp.workshop.models import Workshop

MOST_SHOWN = 300


def card_words() -> CardWords:
    """As the owner wrote them; empty, unsaved, before anybody did. One query."""
    return CardWords.objects.filter(pk=1).first() or CardWords(pk=1)


def maker_of(card: CardWords, shop: Workshop) -> tuple[str, str]:
    """Who made it and where they are reached: the workshop's own name and address unless others are written."""
    return card.maker or shop.name, card.address or shop.address


def prices_of(pieces: Sequence[Piece]) -> dict[int, tuple[Decimal, Listing]]:
    """What is asked for each piece at a fair, with the listing whose currency it is in: the price of its offering
    through fairs, else of its listing. Two queries."""
    listed = {one.piece_id: one for one in Listing.objects.filter(piece__in=pieces).exclude(state="withdrawn")}
    there = Offering.objects.filter(listing__in=listed.values(), channel__kind=Channel.Kind.FAIR, on=True)
    at_fairs = dict(there.values_list("listing__piece_id", "price"))
    return {pk: (at_fairs.get(pk, one.price), one) for pk, one in listed.items()}


def public_addresses(pieces: Sequence[Piece]) -> dict[int, str]:
    """Of each piece that visitors may see, where. Two queries at most."""
    if not shop_page().on:
        return {}
    seen = Listing.objects.filter(public=True, piece__in=pieces).exclude(state=Listing.State.WITHDRAWN)
    return {pk: reverse("shop:piece", args=[number]) for pk, number in seen.values_list("piece", "piece__number")}


def printable(fair: int | None = None) -> QuerySet[Piece]:
    """Pieces papers are made of: those packed for a fair, else all, newest first."""
    rows = Piece.objects.all()
    return rows.filter(where=Piece.Where.FAIR, events__fair=fair).distinct() if fair else rows


def state_of(paper: PiecePaper) -> TaskState:
    return paper_state(paper, "The paper was not made. Ask for it again.")
