"""The columns of the table of listings: what stands on each, where its piece is, and what it is made of."""

from __future__ import annotations

from django.db.models import OuterRef, Prefetch, Subquery

from planner.measures import Length, decimals, round_half_up
from shopapp.common.tables import Cell, table
from shopapp.listings.models import Listing, ListingEvent, Offering
from shopapp.listings.pieces.facts import facts

HEADS = (
    "number", "title", "state", "where", "made on", "listed on", "asked", "currency", "offered through",
    "shown to visitors", "held until", "wide mm", "high mm", "thick mm", "mass g", "woods", "finish", "use", "words",
)  # fmt: skip


def listings_csv() -> bytes:
    """Two queries."""
    first = ListingEvent.objects.filter(listing=OuterRef("pk")).order_by("pk")
    found = (
        Listing.objects.select_related("piece")
        .prefetch_related(Prefetch("offerings", Offering.objects.filter(on=True).select_related("channel")))
        .annotate(listed_on=Subquery(first.values("on")[:1]))
        .order_by("piece__number", "pk")
    )
    return table(HEADS, map(_of, found))


def _of(listing: Listing) -> list[Cell]:
    piece, told = listing.piece, facts(listing.piece)
    sizes = [decimals(Length.from_nm(nm).mm, 3) for nm in told.size] if told.size else ["", "", ""]
    return [
        piece.number, listing.title, listing.get_state_display(), piece.get_where_display(), piece.made_on,
        listing.listed_on, round_half_up(listing.price, listing.currency_exponent), listing.currency_symbol,
        ", ".join(one.channel.name for one in listing.offerings.all()), "yes" if listing.public else "no",
        listing.held_until, *sizes, told.grams, ", ".join(wood.name for wood in told.woods), told.finish, told.use,
        listing.words,
    ]  # fmt: skip
