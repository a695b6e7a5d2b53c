"""A channel written down, changed, set aside; a listing offered through it, at its own price."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.templatetags.shop import money
from shopapp.listings.models import Channel, Expense, Listing, Offering
from shopapp.listings.telling import ListingMoved, locked, tell
from shopapp.people.choosing import person_of
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only

Spend = Callable[[], None]
State = Listing.State


@dataclass(frozen=True)
class ChannelFacts:
    """What a channel takes: its own fee, or with ``own_fees`` false those of the settings."""

    name: str
    kind: str
    person: Person | str | None = None
    own_fees: bool = True
    percent: Fraction = Fraction(0)
    fixed: Decimal = Decimal(0)
    on_carriage: bool = True
    on_tax: bool = False
    minimum: Decimal | None = None
    cap: Decimal | None = None
    per_listing: Decimal = Decimal(0)


def write_channel(
    *, who: Member | None, facts: ChannelFacts, channel: Channel | None = None, seen_version: int = 0,
    spend: Spend = lambda: None,
) -> Channel:  # fmt: skip
    """A new channel, or another state of one. Sales that were made keep the fees they were made with. Raises
    PlannerError where the name is taken, EditConflict."""
    owner_only(who)
    with transaction.atomic():
        spend()
        if channel is not None:
            channel = Channel.objects.select_for_update().get(pk=channel.pk)
            check_version(channel, seen_version)
        alike = Channel.objects.filter(name__iexact=facts.name)
        if (alike if channel is None else alike.exclude(pk=channel.pk)).exists():
            raise PlannerError("There is a channel of that name.", mend="Give it another name.", field="name")
        if facts.cap is not None and facts.minimum is not None and facts.cap < facts.minimum:
            raise PlannerError("The most it takes is less than the least.", mend="Look at both.", field="cap")
        new = channel is None
        channel = channel or Channel()
        for name in facts.__dataclass_fields__:
            setattr(channel, name, getattr(facts, name) if name != "person" else person_of(who, facts.person))
        channel.save()
        if not new:
            bump_version(channel)
        told = f"{channel.name} is a way of selling from now on." if new else f"What {channel.name} takes was changed."
        write_audit(who, told, channel)
    return channel


def set_aside(*, who: Member | None, channel: Channel, kept: bool, spend: Spend = lambda: None) -> Channel:
    """A channel that is not used any more offers nothing; what was sold through it stays."""
    owner_only(who)
    with transaction.atomic():
        spend()
        channel = Channel.objects.select_for_update().get(pk=channel.pk)
        if channel.kept is kept:
            raise ListingMoved("That is done already.", mend="Look at it as it is now.")
        channel.kept = kept
        channel.save(update_fields=["kept", "changed_at"])
        bump_version(channel)
        if not kept:
            channel.offerings.filter(on=True).update(on=False)
        write_audit(who, f"{channel.name} is {'used again' if kept else 'not used any more'}.", channel)
    return channel


def offer(
    *, who: Member | None, listing: Listing, channel: Channel, price: Decimal, since: date, reference: str = "",
    spend: Spend = lambda: None,
) -> Offering:  # fmt: skip
    """Offer a listed piece through a channel at a price, or at another from now on. What the channel takes for offering
    a piece is written once, on the first day."""
    owner_only(who)
    with transaction.atomic():
        spend()
        listing = locked(listing)
        if listing.state not in (State.FOR_SALE, State.HELD):
            raise ListingMoved(f"{listing.title} is {listing.get_state_display()}.", mend="It stays as it is.")
        if not channel.kept:
            raise ListingMoved(f"{channel} is not used any more.", mend="Take it up again first.")
        if price <= 0:
            raise PlannerError("A piece that costs nothing is given away.", mend="Write a price.", field="price")
        offering = Offering.objects.filter(listing=listing, channel=channel).first()
        if offering is None:
            offering = Offering(listing=listing, channel=channel, since=since)
            _pay_for_offering(who, listing, channel, since)
        elif not offering.on:
            offering.since = since
        offering.price, offering.reference, offering.on = price, reference, True
        offering.save()
        words = f"{listing.title} is offered through {channel} for {money(price, listing)}."
        tell(who, listing, words, plain=f"{listing.title} is offered through {channel}.")
    return offering


def _pay_for_offering(who: Member | None, listing: Listing, channel: Channel, on: date) -> None:
    if not (channel.own_fees and channel.per_listing):
        return
    Expense.objects.create(
        kind=Expense.Kind.FEE, on=on, amount=channel.per_listing, currency_symbol=listing.currency_symbol,
        currency_exponent=listing.currency_exponent, words=f"{channel}, for offering {listing.piece}"[:200],
        piece_id=listing.piece_id, channel=channel, key=f"offered {listing.pk} {channel.pk}", who=who,
    )  # fmt: skip


def take_off(*, who: Member | None, offering: Offering, spend: Spend = lambda: None) -> Offering:
    """A piece is not offered through a channel any more."""
    owner_only(who)
    with transaction.atomic():
        spend()
        listing = locked(offering.listing)
        offering = Offering.objects.select_for_update().select_related("channel").get(pk=offering.pk)
        if not offering.on:
            raise ListingMoved("That is done already.", mend="Look at it as it is now.")
        offering.on = False
        offering.save(update_fields=["on", "changed_at"])
        words = f"{listing.title} is not offered through {offering.channel} any more."
        # What is taken down after the sale tells of a listing that is sold still.
        tell(who, listing, words, plain=words, sale=listing.piece.sale if listing.state == State.SOLD else None)
    return offering
