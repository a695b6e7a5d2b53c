"""What waits for a word: pieces sold twice, overdue at a shop, held past their day, parcels gone wrong."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, F, OuterRef, Q, Subquery

from shopapp.jobs.models import Job
from shopapp.jobs.words import day
from shopapp.listings.models import Listing, ListingEvent, Parcel, Piece, PieceEvent, Sale, SaleChange

MOST = 20
Where = Piece.Where


@dataclass(frozen=True)
class Waits:
    """Something that waits, in words, and the page where it is settled."""

    what: str
    words: str
    url: str


def what_waits(today: date) -> list[Waits]:
    """What cannot be left alone first. Four queries."""
    return [*_sold_twice(), *_gone_wrong(), *_overdue(today), *_held_past(today)]


def _sold_twice() -> list[Waits]:
    ended = SaleChange.objects.filter(sale=OuterRef("pk")).exclude(kind=SaleChange.Kind.REDUCED)
    late = Sale.objects.filter(~Exists(ended)).exclude(pk__in=Piece.objects.exclude(sale=None).values("sale"))
    pieces = Piece.objects.filter(pk__in=late.values("piece"))[:MOST]
    return [Waits(str(one), "was sold, and was gone already: say which sale stands", one.get_absolute_url())
            for one in pieces]  # fmt: skip


def _gone_wrong() -> list[Waits]:
    """Damaged or lost, while the sale stands as if nothing were, and nothing is made in its place."""
    wrong = Parcel.objects.filter(state__in=(Parcel.State.DAMAGED, Parcel.State.LOST), sale=F("piece__sale"))
    wrong = wrong.filter(Q(remake=None) | Q(remake__state=Job.State.CALLED_OFF))
    nothing_said = ~Exists(SaleChange.objects.filter(sale=OuterRef("sale"), undoes=None, undone_by=None))
    rows = wrong.filter(nothing_said).select_related("piece")[:MOST]
    return [
        Waits(str(one.piece), f"{one.get_state_display()}: say what is done about it", one.get_absolute_url())
        for one in rows
    ]


def _overdue(today: date) -> list[Waits]:
    newest = PieceEvent.objects.filter(piece=OuterRef("pk")).order_by("-pk")
    rows = Piece.objects.filter(where=Where.SHOP).annotate(
        back_by=Subquery(newest.values("back_by")[:1]), at=Subquery(newest.values("channel__name")[:1])
    )
    return [
        Waits(str(one), f"was to be back from {one.at} by {day(one.back_by)}", one.get_absolute_url())
        for one in rows.filter(back_by__lt=today)[:MOST]
    ]


def _held_past(today: date) -> list[Waits]:
    """Free again by themselves; whom they were held for may be told."""
    told = ListingEvent.objects.filter(listing=OuterRef("pk"), state=Listing.State.HELD).order_by("-pk")
    rows = Listing.objects.filter(state=Listing.State.HELD, held_until__lt=today)
    rows = rows.annotate(held_for=Subquery(told.values("to_whom")[:1]))[:MOST]
    return [Waits(one.title, _free_again(one), one.get_absolute_url()) for one in rows]


def _free_again(one: Listing) -> str:
    whom = f" for {one.held_for}" if one.held_for else ""
    return f"was held{whom} until {day(one.held_until)}, and is free again"
