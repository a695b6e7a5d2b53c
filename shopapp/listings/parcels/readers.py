"""What pages show of parcels."""

from __future__ import annotations

from django.db.models import QuerySet

from shopapp.listings.models import Parcel
from shopapp.listings.pieces.facts import facts
from shopapp.workshop.models import Workshop

from .actions import UNDER_WAY
from .planning import Box, box_for, carriage_asked

A_PAGE = 50


def parcels(state: str) -> QuerySet[Parcel]:
    """Newest first, each with its piece and for whom it is. One query."""
    rows = Parcel.objects.select_related("piece", "person", "sale")
    if state == "under way":
        return rows.filter(state__in=UNDER_WAY)
    return rows.filter(state=state) if state in Parcel.State.values else rows


def box_asked(piece, shop: Workshop) -> Box | None:
    return box_for(facts(piece), shop)


def tariff_of(parcel: Parcel, shop: Workshop) -> tuple[dict | None, str]:
    """What the tariff asks for the box as it is, None where sizes or mass are not written."""
    sizes = (parcel.length, parcel.width, parcel.height)
    if None in sizes or parcel.grams is None:
        return None, ""
    return carriage_asked(sizes, parcel.grams, shop)
