"""What pages show of pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db.models import OuterRef, Q, QuerySet, Subquery, Sum
from django.utils import timezone

from planner.measures import Length, round_half_up
from shopapp.common.numbers import whole_number
from shopapp.jobs.models import Job
from shopapp.listings.models import Listing, Piece, PieceCost, PieceEvent, Sale, SaleChange
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.plans.readers import shop_as_kept
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from .facts import PieceFacts, WoodFact, facts

A_PAGE = 50
DECIMALS = 4
Where = Piece.Where


def cost_of(piece: Piece) -> Decimal:
    """What a piece cost to make, by its lines. One query."""
    # One database adds in binary fractions: what it tells is brought back to the decimals the column has.
    return round_half_up(piece.costs.aggregate(Sum("amount"))["amount__sum"] or Decimal(0), DECIMALS)


def shop_of(piece: Piece, listing: Listing | None = None) -> Workshop:
    """The shop with the currency a piece is listed in, else that of its job's plan."""
    if listing is not None:
        shop = the_workshop()
        shop.currency_symbol, shop.currency_exponent = listing.currency_symbol, listing.currency_exponent
        return shop
    return shop_of_job(piece.job)


def shop_of_job(job: Job) -> Workshop:
    """The shop with the currency of the job's plan."""
    shop = the_workshop()
    return shop_as_kept(shop, job.plan.record) if job.plan is not None else shop


def found(words: str, where: str) -> QuerySet[Piece]:
    """Pieces by number, name or place, newest first, each with its newest event's shop and day back."""
    newest = PieceEvent.objects.filter(piece=OuterRef("pk")).order_by("-pk")
    rows = Piece.objects.annotate(
        back_by=Subquery(newest.values("back_by")[:1]),
        at=Subquery(newest.values("channel__name")[:1]),
        at_fair=Subquery(newest.values("fair__name")[:1]),
    )
    if words:
        number = whole_number(words.removeprefix("No.").strip())
        rows = rows.filter(Q(title__icontains=words) | (Q(number=number) if number is not None else Q(pk=None)))
    if where == "overdue":
        return rows.filter(where=Where.SHOP, back_by__lt=timezone.localdate())
    return rows.filter(where=where) if where else rows


@dataclass(frozen=True)
class Whereabouts:
    """Where a piece is, in words, with what was agreed with a shop it lies with."""

    words: str
    commission: Fraction | None
    back_by: date | None
    days_late: int


def whereabouts(piece: Piece, event: PieceEvent | None, today: date) -> Whereabouts:
    """By the newest event, its channel and fair read with it."""
    words = piece.get_where_display()
    if event is None:
        return Whereabouts(words, None, None, 0)
    if piece.where == Where.SHOP and event.channel is not None:
        words = f"with {event.channel}, on sale or return"
    elif piece.where == Where.FAIR and event.fair is not None:
        words = f"at {event.fair}"
    late = (today - event.back_by).days if piece.where == Where.SHOP and event.back_by else 0
    return Whereabouts(words, event.commission, event.back_by, max(late, 0))


@dataclass(frozen=True)
class WoodTold:
    """A wood of a piece with its plank."""

    fact: WoodFact
    seen: WoodSeen | None

    @property
    def percent(self) -> str:
        """Of the face, in whole percent; less than one is said so."""
        share = self.fact.share
        if share is None:
            return ""
        whole = round_half_up(share * 100, 0)
        return f"{whole} %" if whole else "under 1 %"


@dataclass(frozen=True)
class SaleTold:
    """A sale with what became of it, what selling cost and what is left of it."""

    sale: Sale
    changes: Sequence[SaleChange]
    expenses: Sequence
    stands: bool

    @property
    def ending(self) -> SaleChange | None:
        return next((one for one in self.changes if one.kind != SaleChange.Kind.REDUCED), None)

    @property
    def clashes(self) -> bool:
        return not self.stands and self.ending is None

    @property
    def back(self) -> Decimal:
        return sum((one.back for one in self.changes), Decimal(0))


@dataclass(frozen=True)
class PieceView:
    """A piece as its page shows it."""

    piece: Piece
    facts: PieceFacts
    woods: list[WoodTold]
    where: Whereabouts
    events: list[PieceEvent]
    listing: Listing | None
    sales: list[SaleTold]
    costs: list[PieceCost]

    @property
    def size(self) -> tuple[Length, Length, Length] | None:
        return None if self.facts.size is None else tuple(map(Length.from_nm, self.facts.size))

    @property
    def clashing(self) -> list[SaleTold]:
        """All that have not ended, where more than one has not, or one came after the piece was given away."""
        open_ones = [one for one in self.sales if one.ending is None]
        return open_ones if any(one.clashes for one in open_ones) else []

    @property
    def cost(self) -> Decimal:
        return sum((line.amount for line in self.costs), Decimal(0))


def piece_view(piece: Piece) -> PieceView:
    """Seven queries."""
    events = list(piece.events.select_related("who", "channel", "fair"))
    told, seen = facts(piece), woods_seen()
    sales = piece.sales.select_related("person", "channel", "fair").prefetch_related("changes", "expenses")
    return PieceView(
        piece=piece,
        facts=told,
        woods=[WoodTold(one, seen.get(one.key)) for one in told.woods],
        where=whereabouts(piece, events[0] if events else None, timezone.localdate()),
        events=events,
        listing=piece.listings.exclude(state=Listing.State.WITHDRAWN).first(),
        sales=[
            SaleTold(sale, list(sale.changes.all()), list(sale.expenses.all()), stands=sale.pk == piece.sale_id)
            for sale in sales
        ],
        costs=list(piece.costs.all()),
    )
