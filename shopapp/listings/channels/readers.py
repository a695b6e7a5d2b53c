"""What pages show of channels: what each takes, what is offered through it, and what is left of a price there."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Count, Q, QuerySet, Sum, prefetch_related_objects

from shopapp.listings.models import Channel, Listing, Offering, Piece
from shopapp.listings.pieces.readers import cost_of
from shopapp.listings.selling.actions import commissions_of
from shopapp.workshop.models import Workshop

from .planning import Settled, left_of


def channels() -> QuerySet[Channel]:
    """Each with how many pieces are offered through it, how many lie there and how many sales it made. One query."""
    return Channel.objects.select_related("person").annotate(
        offered=Count("offerings", filter=Q(offerings__on=True), distinct=True),
        sold=Count("sales", distinct=True),
    )


@dataclass(frozen=True)
class ChannelPage:
    channel: Channel
    offered: list[Offering]
    lying: list[Piece]
    sales: list
    taken: Decimal


def channel_page(channel: Channel) -> ChannelPage:
    """Five queries."""
    offered = channel.offerings.filter(on=True).select_related("listing")
    with_it = Piece.objects.filter(where=Piece.Where.SHOP).order_by("-number")
    newest = [piece for piece in with_it.prefetch_related("events") if _lies_with(piece, channel)]
    sales = channel.sales.select_related("piece").order_by("-on", "-pk")[:50]
    taken = channel.expenses.aggregate(Sum("amount"))["amount__sum"] or Decimal(0)
    return ChannelPage(channel, list(offered), newest, list(sales), taken)


def _lies_with(piece: Piece, channel: Channel) -> bool:
    events = list(piece.events.all())
    return bool(events) and events[0].channel_id == channel.pk


@dataclass(frozen=True)
class ThroughChannel:
    """A price through one channel, or through none; ``offering`` where the listing stands there."""

    channel: Channel | None
    offering: Offering | None
    price: Decimal
    settled: Settled


def through_channels(listing: Listing, shop: Workshop) -> list[ThroughChannel]:
    """What is left of the listing's price from hand to hand, and through every channel that is used, at its own price
    where it has one. ``shop`` has the listing's currency. Five queries."""
    cost, agreed = cost_of(listing.piece), commissions_of(listing.piece)
    if shop.edit_version:
        # The settings’ fees are asked for once, however many channels take them.
        prefetch_related_objects([shop], "fees")
    offerings = {one.channel_id: one for one in listing.offerings.filter(on=True).select_related("channel")}
    rows = [ThroughChannel(None, None, listing.price, left_of(listing.price, cost, None, shop))]
    for channel in Channel.objects.filter(kept=True):
        offering = offerings.get(channel.pk)
        price = offering.price if offering else listing.price
        settled = left_of(price, cost, channel, shop, commission=agreed.get(channel.pk))
        rows.append(ThroughChannel(channel, offering, price, settled))
    return rows
