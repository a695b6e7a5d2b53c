"""What pages show of pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db.models import OuterRef, Prefetch, Q, QuerySet, Subquery, Sum
from django.shortcuts import get_object_or_404
from django.utils import timezone

from planner.measures import Length, round_half_up
from shopapp.common.numbers import whole_number
from shopapp.jobs.done import sums
from shopapp.jobs.models import Job
from shopapp.listings.mending.readers import Written, given_back, spent
from shopapp.listings.models import (
    Channel,
    Expense,
    Listing,
    Parcel,
    Piece,
    PieceCost,
    PieceEvent,
    PiecePhoto,
    Sale,
    SaleChange,
)
from shopapp.lumber.looks import WoodSeen, woods_seen
from shopapp.payments.models import Account
from shopapp.plans.readers import RecordView, shop_as_kept
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from .facts import PieceFacts, WoodFact, facts
from .instead import StandIn, fate_of, went_instead

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
        in_place_of=Subquery(newest.values("instead_of__number")[:1]),
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
    elif piece.where == Where.GIVEN and event.instead_of is not None:
        words = f"gone out in the place of No. {event.instead_of.number}"
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
    expenses: Sequence[Expense]
    stands: bool
    # The page of the account it is paid on; "" where it is on none.
    account: str
    # What the piece cost to make, by its lines.
    cost: Decimal
    # What went out in its place, without a price.
    instead: Sequence[StandIn] = ()

    @property
    def ending(self) -> SaleChange | None:
        return next((one for one in self.changes if one.kind != SaleChange.Kind.REDUCED), None)

    @property
    def clashes(self) -> bool:
        return not self.stands and self.ending is None

    @property
    def became(self) -> list[Written]:
        """What became of it, what was taken back struck."""
        return given_back(self.changes)

    @property
    def back(self) -> Decimal:
        return sum((one.back for one in self.changes), Decimal(0))

    @property
    def net_kept(self) -> Decimal:
        """What was paid less tax, less what went back."""
        return self.sale.net - sum((one.back - one.back_tax for one in self.changes), Decimal(0))

    @property
    def left(self) -> dict:
        """What is left of it after what selling and making cost, as it stands today."""
        terms = [sums.amount("Net of tax", self.sale.net, "what was paid, less tax")]
        terms += [
            sums.amount(f"{one.get_kind_display().capitalize()}, {one.on:%Y-%m-%d}", one.back_tax - one.back,
                        "given back, its tax left out")
            for one in self.changes if one.back
        ]  # fmt: skip
        terms += [sums.amount(one.words, -one.amount, one.get_kind_display()) for one in self.expenses]
        terms += [sums.amount("The piece", -self.cost, "what it cost to make")]
        terms += [sums.amount(f"Made again as No. {one.piece.number}", -one.cost, "what it cost to make")
                  for one in self.instead]  # fmt: skip
        left = self.net_kept - sum((one.amount for one in self.expenses), Decimal(0)) - self.cost
        left -= sum((one.cost for one in self.instead), Decimal(0))
        return sums.money(left, "net of tax, less what went back, what selling cost and what the piece cost", terms)


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
    photos: list[PiecePhoto]
    parcels: list[Parcel]
    # What selling it cost.
    spent: list[Written]
    # What became of the piece it stands in for, in words.
    fate: str
    made_again: Piece | None
    # Whether the one that was made again went out in its place.
    is_replaced: bool
    # Whom its listing is or was held for.
    held_for: str

    @property
    def currency(self) -> Workshop:
        """The shop with the currency the piece is sold in."""
        return shop_of(self.piece, self.listing)

    @property
    def shop_it_is_with(self) -> Channel | None:
        return self.events[0].channel if self.events and self.piece.where == Where.SHOP else None

    @property
    def shown(self) -> list[PiecePhoto]:
        """The chosen one first."""
        return sorted((one for one in self.photos if one.image_id), key=lambda one: not one.chosen)

    @property
    def is_to_be_had(self) -> bool:
        return self.piece.sale_id is None and self.piece.where in (Where.HERE, Where.FAIR, Where.SHOP)

    @property
    def may_be_packed(self) -> bool:
        """Somebody's, and in no box of theirs that is packed, on its way or there."""
        theirs = self.piece.sale_id is not None or self.piece.where == Where.GIVEN
        gone = (Parcel.State.BACK, Parcel.State.LOST)
        boxed = any(one.sale_id == self.piece.sale_id and one.state not in gone for one in self.parcels)
        return theirs and not boxed

    @property
    def drawn(self) -> str:
        """The board as its plan drew it; "" where there is none."""
        plan = self.piece.job.plan
        return "" if plan is None else RecordView(plan.record, str(self.piece), "mm").board()

    @property
    def cost_lines(self) -> list[tuple[str, dict]]:
        """Lines of one name added up: what was known better later stands with the first."""
        lines: dict[str, list[PieceCost]] = {}
        for line in self.costs:
            lines.setdefault(line.name, []).append(line)
        return [(name, _line_figure(found)) for name, found in lines.items()]

    @property
    def cost_figure(self) -> dict:
        terms = [sums.told(name, figure) for name, figure in self.cost_lines]
        return sums.money(self.cost, "its lines added up", terms)

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
    """Ten queries, one for the workshop where its currency is asked, and some more for a piece that was made again or
    stands in for another."""
    events = list(piece.events.select_related("who", "channel", "fair", "instead_of"))
    made_again = getattr(piece, "made_again", None)
    instead = went_instead(piece) if made_again is not None else []
    told, seen = facts(piece), woods_seen()
    sales = list(piece.sales.select_related("person", "channel", "fair").prefetch_related(
        Prefetch("changes", SaleChange.objects.select_related("undone_by", "sale")), "expenses"
    ))  # fmt: skip
    costs = list(piece.costs.all())
    listing = piece.listings.exclude(state=Listing.State.WITHDRAWN).first()
    accounts = _accounts({sale.account_key for sale in sales} - {""})
    return PieceView(
        piece=piece,
        facts=told,
        woods=[WoodTold(one, seen.get(one.key)) for one in told.woods],
        where=whereabouts(piece, events[0] if events else None, timezone.localdate()),
        events=events,
        listing=listing,
        sales=[
            SaleTold(
                sale,
                list(sale.changes.all()),
                list(sale.expenses.all()),
                stands=sale.pk == piece.sale_id,
                account=accounts.get(sale.account_key, ""),
                cost=sum((line.amount for line in costs), Decimal(0)),
                instead=instead if sale.pk == piece.sale_id else (),
            )
            for sale in sales
        ],
        costs=costs,
        photos=list(piece.photos.filter(taken_away=False).select_related("image")),
        parcels=list(piece.parcels.all()),
        spent=spent(piece.expenses.all()),
        fate=fate_of(piece.instead_of) if piece.instead_of is not None else "",
        made_again=made_again,
        is_replaced=any(one.piece == made_again for one in instead),
        held_for=_held_for(listing) if listing is not None else "",
    )


def _held_for(listing: Listing) -> str:
    """One query, none where it is not held."""
    held = Listing.State.HELD
    told = listing.events.filter(state=held).first() if listing.state == held else None
    return told.to_whom if told is not None else ""


def _accounts(keys: set[str]) -> dict[str, str]:
    """Addresses of accounts by their keys. One query, none where there is no key."""
    return {one.key: one.get_absolute_url() for one in Account.objects.filter(key__in=keys)} if keys else {}


def _line_figure(lines: list[PieceCost]) -> dict:
    amount = sum((line.amount for line in lines), Decimal(0))
    if len(lines) == 1:
        return sums.money(amount, _basis(lines[0]))
    terms = [sums.amount(f"Written on {line.on:%Y-%m-%d}", line.amount, _basis(line)) for line in lines]
    return sums.money(amount, "as first written down, and what was known better since", terms)


def _basis(line: PieceCost) -> str:
    return f"{line.get_basis_display()}{f': {line.words}' if line.words else ''}"


def the_piece(pk: int) -> Piece:
    """Raises Http404."""
    return get_object_or_404(Piece.objects.select_related("job__plan", "sale", "instead_of", "made_again"), pk=pk)


def chosen_photo(piece: Piece) -> PiecePhoto | None:
    """The one that stands for the piece, else the first that was read. One query."""
    shown = piece.photos.filter(taken_away=False).exclude(image=None).select_related("image")
    return shown.order_by("-chosen", "place", "pk").first()
