"""What the pages about listed pieces show."""

from __future__ import annotations

from django.db.models import OuterRef, QuerySet, Subquery

from shopapp.jobs.done.madeof import made_of
from shopapp.plans.readers import RecordView

from .models import Listing, ListingEvent

A_PAGE = 50


def listings() -> QuerySet[Listing]:
    """What is for sale first, then the rest, newest first, each with the newest event's day and price."""
    newest = ListingEvent.objects.filter(listing=OuterRef("pk")).order_by("-pk")
    return Listing.objects.annotate(
        on=Subquery(newest.values("on")[:1]),
        got=Subquery(newest.values("got")[:1]),
        to_whom=Subquery(newest.values("to_whom")[:1]),
    ).order_by("state", "-pk")  # "for sale" stands before "given" and "sold"


def listing_page(listing: Listing, unit: str) -> dict[str, object]:
    plan = listing.job.plan
    return {
        "listing": listing,
        "made_of": made_of(listing.job),
        "view": RecordView(plan.record, listing.title, unit) if plan else None,
        "events": list(listing.events.select_related("who")),
    }
