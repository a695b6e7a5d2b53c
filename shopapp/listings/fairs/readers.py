"""What pages show of fairs: which there are, what is there, what sold, what each cost and paid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Count, OuterRef, Q, QuerySet, Subquery, Sum

from planner.measures import round_half_up
from shopapp.jobs.words import day
from shopapp.listings.cards.readers import prices_of
from shopapp.listings.mending.readers import Written, spent
from shopapp.listings.models import Fair, Listing, Piece, PieceCost, PieceEvent, Sale, SaleChange
from shopapp.workshop.models import Workshop

from . import planning

A_PAGE = 50
NOUGHT = Decimal(0)
Where = Piece.Where
_DECIMALS = 4


def ended_sales() -> QuerySet[SaleChange]:
    return SaleChange.objects.exclude(kind=SaleChange.Kind.REDUCED).values("sale")


def fairs() -> QuerySet[Fair]:
    """The newest first, each with how many sold there and were not taken back."""
    return Fair.objects.annotate(sold=Count("sales", filter=~Q(sales__in=ended_sales()))).order_by("-first", "-pk")


def there(fair: Fair) -> QuerySet[Piece]:
    """Pieces that are at the fair now."""
    newest = PieceEvent.objects.filter(piece=OuterRef("pk")).order_by("-pk")
    rows = Piece.objects.filter(where=Where.FAIR).annotate(at=Subquery(newest.values("fair")[:1]))
    return rows.filter(at=fair.pk).order_by("number")


def to_pack() -> QuerySet[Piece]:
    """Pieces that could go to a fair."""
    return Piece.objects.filter(where=Where.HERE, sale=None).order_by("number")


def hours_by_day(fair: Fair) -> dict[date, int]:
    """Minutes of every day somebody wrote some of; the newest of a day counts. One query."""
    return dict(fair.days.order_by("pk").values_list("on", "minutes"))


def days_of(fair: Fair) -> list[tuple[date, int]]:
    """Every day of the fair with its minutes. One query."""
    written = hours_by_day(fair)
    days = [fair.first + timedelta(days=n) for n in range((fair.last - fair.first).days + 1)]
    return [(one, written.get(one, 0)) for one in days]


@dataclass(frozen=True)
class Offered:
    """A piece at the fair with what is asked for it there, None where it is not listed."""

    piece: Piece
    price: Decimal | None
    listing: Listing | None

    @property
    def words(self) -> str:
        """What it is called at the stall; for whom it is held is nobody's there to read."""
        held = self.listing is not None and self.listing.stands == Listing.State.HELD
        return f"{self.piece}, held until {day(self.listing.held_until)}" if held else str(self.piece)

    @property
    def plain_price(self) -> str:
        """As somebody would type it."""
        return typed(self.price, self.listing.currency_exponent) if self.listing and self.price else ""


def typed(price: Decimal, exponent: int) -> str:
    """A price as it is typed at a stall, without needless noughts.

    >>> typed(Decimal("180.0000"), 2), typed(Decimal("12.5000"), 2)
    ('180', '12.50')
    """
    whole = round_half_up(price, exponent)
    return str(round_half_up(price, 0)) if whole == whole.to_integral_value() else str(whole)


def offered(fair: Fair) -> list[Offered]:
    """Three queries."""
    pieces = list(there(fair))
    prices = prices_of(pieces)
    return [Offered(piece, *prices.get(piece.pk, (None, None))) for piece in pieces]


def sold_there(fair: Fair) -> list[Sale]:
    """Sales of the fair that were not taken back, the newest first. One query."""
    return list(fair.sales.exclude(pk__in=ended_sales()).select_related("piece").order_by("-pk"))


@dataclass(frozen=True)
class SoldThere:
    """A sale of the fair: what was kept of it without tax, what selling and making it cost, and its share of the
    fair's own costs and hours."""

    sale: Sale
    kept: Decimal
    fees: Decimal
    cost: Decimal
    of_costs: Decimal
    of_hours: Decimal
    is_late: bool

    @property
    def left(self) -> Decimal:
        return self.kept - self.fees - self.cost - self.of_costs - self.of_hours


@dataclass(frozen=True)
class FairView:
    """What a fair cost and paid. Sales that were taken back are in ``ended``, and shared over is what was not."""

    fair: Fair
    shop: Workshop
    sold: list[SoldThere]
    ended: list[Sale]
    expenses: list[Written]
    days: list[tuple[date, int]]

    @property
    def taken(self) -> Decimal:
        return sum((one.sale.price for one in self.sold), NOUGHT)

    @property
    def kept(self) -> Decimal:
        return sum((one.kept for one in self.sold), NOUGHT)

    @property
    def fees(self) -> Decimal:
        return sum((one.fees for one in self.sold), NOUGHT)

    @property
    def made(self) -> Decimal:
        return sum((one.cost for one in self.sold), NOUGHT)

    @property
    def costs(self) -> Decimal:
        return sum((one.amount for one in self.expenses if not one.struck), NOUGHT)

    @property
    def hours(self) -> Decimal:
        return planning.of_hours(self.fair.minutes, self.fair.hour, self.shop.currency_exponent)

    @property
    def earned(self) -> Decimal:
        """Before the hours there are paid."""
        return self.kept - self.fees - self.made - self.costs

    @property
    def left(self) -> Decimal:
        return self.earned - self.hours

    @property
    def minus(self) -> dict[str, Decimal]:
        """What goes off, by name."""
        return {name: -getattr(self, name) for name in ("fees", "made", "costs", "hours")}

    @property
    def an_hour(self) -> Decimal | None:
        return planning.an_hour(self.earned, self.fair.minutes, self.shop.currency_exponent)


def fair_view(fair: Fair, shop: Workshop) -> FairView:
    """Six queries."""
    rows = fair.sales.select_related("piece", "person").prefetch_related("changes", "expenses").order_by("on", "pk")
    sales = list(rows)
    over = {one.pk for one in sales for change in one.changes.all() if change.kind != SaleChange.Kind.REDUCED}
    going = [one for one in sales if one.pk not in over]
    expenses = spent(fair.expenses.filter(sale=None))
    ended = [one for one in sales if one.pk in over]
    bare = FairView(fair, shop, [], ended, expenses, days_of(fair))
    prices, exponent, made = [one.price for one in going], shop.currency_exponent, _made(going)
    costs, hours = planning.by_price(bare.costs, prices, exponent), planning.by_price(bare.hours, prices, exponent)
    sold = [
        SoldThere(
            sale=sale,
            kept=sale.net - sum((change.back - change.back_tax for change in sale.changes.all()), NOUGHT),
            fees=sum((one.amount for one in sale.expenses.all()), NOUGHT),
            cost=made.get(sale.piece_id, NOUGHT),
            of_costs=of_costs,
            of_hours=of_hours,
            is_late=sale.piece.sale_id != sale.pk,
        )
        for sale, of_costs, of_hours in zip(going, costs, hours, strict=True)
    ]
    return FairView(fair, shop, sold, ended, expenses, bare.days)


def _made(sales: Sequence[Sale]) -> dict[int, Decimal]:
    """What each piece cost to make."""
    costs = PieceCost.objects.filter(piece__in=[one.piece_id for one in sales]).values("piece").order_by("piece")
    sums = costs.annotate(made=Sum("amount")).values_list("piece", "made")
    # One database adds in binary fractions: what it tells is brought back to the decimals the column has.
    return {pk: round_half_up(made, _DECIMALS) for pk, made in sums}


@dataclass(frozen=True)
class Clash:
    """A piece that was sold at the fair and elsewhere: its sales that have not ended, the first written first;
    ``stands`` is None where it was given away meanwhile."""

    piece: Piece
    sales: list[Sale]
    stands: Sale | None


def clashes(fair: Fair) -> list[Clash]:
    """One query."""
    going = Sale.objects.exclude(pk__in=ended_sales())
    here = going.filter(fair=fair).values("piece")
    late = going.filter(piece__in=here, held_by=None).values("piece")
    rows = going.filter(piece__in=late).select_related("piece", "fair", "channel").order_by("piece", "pk")
    found: dict[int, list[Sale]] = {}
    for sale in rows:
        found.setdefault(sale.piece_id, []).append(sale)
    return [
        Clash(sales[0].piece, sales, next((one for one in sales if one.pk == one.piece.sale_id), None))
        for sales in found.values()
    ]
