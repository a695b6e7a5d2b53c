"""What the pages about listed pieces show."""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy

from django.db.models import Case, F, OuterRef, QuerySet, Subquery, Value, When
from django.utils import timezone

from shopapp.jobs.done.madeof import made_of
from shopapp.plans.readers import RecordView
from shopapp.workshop.models import Workshop

from .channels.readers import through_channels
from .models import Listing, ListingEvent
from .pieces.readers import chosen_photo

A_PAGE = 50


def listings() -> QuerySet[Listing]:
    """What is for sale first, then the rest, newest first, each with the newest event's day and price."""
    newest = ListingEvent.objects.filter(listing=OuterRef("pk")).order_by("-pk")
    return Listing.objects.annotate(
        on=Subquery(newest.values("on")[:1]),
        got=Subquery(newest.values("got")[:1]),
        to_whom=Subquery(newest.values("to_whom")[:1]),
        stands_as=Case(When(Listing.is_for_sale(timezone.localdate()), then=Value("for sale")), default=F("state")),
    ).order_by("stands_as", "-pk")  # "for sale" stands before "given" and "sold"


def held_for(listing: Listing, events: Sequence[ListingEvent]) -> str:
    """Whom it is or was held for, by the newest of its events that says so; "" where it is not held."""
    if listing.state != Listing.State.HELD:
        return ""
    return next((one.to_whom for one in events if one.state == Listing.State.HELD), "")


def listing_page(listing: Listing, shop: Workshop, *, money_shown: bool) -> dict[str, object]:
    """``shop`` as the page has it; what is left by channel is reckoned for those only who see money."""
    plan = listing.job.plan
    through = []
    if money_shown:
        there = copy(shop)
        there.currency_symbol, there.currency_exponent = listing.currency_symbol, listing.currency_exponent
        through = through_channels(listing, there)
    events = list(listing.events.select_related("who"))
    return {
        "listing": listing,
        "held_for": held_for(listing, events) if money_shown else "",
        "made_of": made_of(listing.job),
        "view": RecordView(plan.record, listing.title, shop.unit) if plan else None,
        "events": events,
        "through": through,
        "photo": chosen_photo(listing.piece),
    }
