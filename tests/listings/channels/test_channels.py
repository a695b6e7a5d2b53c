"""What is left of a price through each channel, and a piece offered through several at its own price."""

from __future__ import annotations

import secrets
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.listings.channels.planning import left_of
from shopapp.listings.channels.readers import through_channels
from shopapp.listings.models import Channel, Expense, Piece, PieceCost
from shopapp.listings.selling.ending import take_back
from shopapp.workshop.models import Fee, Workshop
from shopapp.workshop.readers import the_workshop
from tests.support import pieces, work


@pytest.fixture
def shop(db) -> Workshop:
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Fraction(20, 100), "tax_included": True})
    return the_workshop()


@pytest.fixture
def listing(owner, shop):
    listing = work.listing(owner, pieces.piece(owner).job)
    cost = {"kind": "wood", "name": "Wood", "basis": "written", "currency_symbol": "€", "currency_exponent": 2}
    PieceCost.objects.create(piece=listing.piece, amount=Decimal("80.00"), on=timezone.localdate(), **cost)
    return listing


def key() -> dict[str, str]:
    return {"form_key": secrets.token_urlsafe(24)}


def offered(client, listing, channel, price: str = "260", **typed):
    listing.refresh_from_db()
    today = timezone.localdate().isoformat()
    sent = {**key(), "edit_version": listing.edit_version, "channel": channel.pk, "price": price, "since": today}
    return client.post(reverse("listings:gone", args=[listing.pk, "offered"]), {**sent, **typed})


def test_what_is_left_is_the_price_less_tax_fee_and_cost(shop):
    """By hand: of 240 a sixth is tax, net 200; 5 % and 0.30 of the net are 10.30; with 80 of cost 109.70 is left."""
    found = left_of(Decimal(240), Decimal(80), pieces.a_channel(), shop)
    assert found.amount == Decimal("109.70") and found.share == Fraction("109.70") / 200
    named = {term["name"]: Decimal(term["figure"]["value"][1]) for term in found.left["terms"]}
    assert named == {"Price": 240, "Tax in it": -40, "Quay Market": Decimal("-10.30"), "The piece": -80}
    assert sum(named.values()) == found.amount, "what opens adds up"


def test_sold_through_a_channel_an_empty_price_is_the_one_asked_there(owner, owner_client, listing):
    """Each way of selling says its own price; what is typed counts, and so does what was seen."""
    market, rooms = pieces.a_channel(), pieces.a_channel("Harbour Rooms", kind="shop")
    assert offered(owner_client, listing, market, "260").status_code == 302
    page = owner_client.get(listing.get_absolute_url())
    body = page.content.decode()
    for words in ("Quay Market, €\u00a0260.00", "Harbour Rooms, €\u00a0240.00", "no channel, €\u00a0240.00"):
        assert words in body
    asked = next(form for form in page.context["forms"] if form.act == "sold")["asked"].initial
    today, sold = timezone.localdate().isoformat(), reverse("listings:gone", args=[listing.pk, "sold"])

    def sell_it(channel, got: str = "", asked: str = asked):
        listing.refresh_from_db()
        typed = {"got": got, "channel": channel.pk if channel else "", "how": "cash", "on": today, "asked": asked}
        return owner_client.post(sold, {**key(), "edit_version": listing.edit_version, **typed})

    for channel, got, price in ((market, "", 260), (rooms, "", 240), (None, "", 240), (market, "199", 199)):
        assert sell_it(channel, got).status_code == 302
        piece = Piece.objects.get(pk=listing.piece_id)
        assert (piece.sale.price, piece.sale.channel) == (price, channel)
        take_back(who=owner, sale=piece.sale, kind="mistake", on=timezone.localdate())
    offered(owner_client, listing, market, "275")
    late = sell_it(market)
    assert late.status_code == 422 and "What is asked was changed meanwhile" in late.content.decode()
    again = next(form for form in late.context["forms"] if form.act == "sold")
    assert sell_it(market, asked=again["asked"].value()).status_code == 302
    assert Piece.objects.get(pk=listing.piece_id).sale.price == 275


def test_a_fee_has_its_least_and_its_most_and_may_be_taken_of_the_tax(shop):
    """5 % of 200 is 10: at least 12 makes 12, at most 8 makes 8; of 240 with the tax it is 12."""
    for changes, fee in (({"minimum": 12}, 12), ({"cap": 8}, 8), ({"on_tax": True}, 12)):
        facts = {
            "percent": Fraction(5, 100),
            **{name: Decimal(v) if v is not True else v for name, v in changes.items()},
        }
        assert left_of(Decimal(240), Decimal(0), Channel(name="x", kind="site", **facts), shop).amount == 200 - fee


def test_a_channel_without_fees_of_its_own_takes_those_of_the_settings(shop):
    Fee.objects.create(workshop=shop, place=0, name="card", percent=Fraction(2, 100))
    Fee.objects.create(workshop=shop, place=1, name="site", fixed=Decimal("1.50"))
    found = left_of(Decimal(240), Decimal(0), Channel(name="x", kind="site", own_fees=False), the_workshop())
    assert found.amount == Decimal("194.50")
    assert left_of(Decimal(240), Decimal(0), None, the_workshop()).amount == 200, "from hand to hand nobody takes any"


def test_a_listing_stands_in_several_channels_at_its_own_price_in_each(owner_client, listing):
    market, rooms = pieces.a_channel(), pieces.a_channel("Harbour Rooms", kind="shop", percent=Fraction(40, 100))
    assert offered(owner_client, listing, market, reference="lot 17").status_code == 302
    assert offered(owner_client, listing, rooms, "300").status_code == 302
    rows = {str(row.channel): row for row in through_channels(listing, the_workshop())}
    assert {name: row.price for name, row in rows.items()} == {
        "None": Decimal(240), "Quay Market": Decimal(260), "Harbour Rooms": Decimal(300)
    }  # fmt: skip
    # 300 holds 50 of tax; 40 % of 250 and 30 cents go to the shop; the piece cost 80.
    assert rows["Harbour Rooms"].settled.amount == Decimal("69.70")
    page = owner_client.get(listing.get_absolute_url()).content.decode()
    assert "69.70" in page and "lot 17" in page and "offered there since" in page
    offering = listing.offerings.get(channel=market)
    owner_client.post(reverse("listings:take_off", args=[offering.pk]), key())
    offering.refresh_from_db()
    assert not offering.on and "not offered through Quay Market any more" in listing.events.first().words


def test_a_sale_through_one_channel_takes_it_off_sale_in_all(owner, owner_client, listing):
    market, rooms = pieces.a_channel(), pieces.a_channel("Harbour Rooms", kind="shop")
    offered(owner_client, listing, market)
    offered(owner_client, listing, rooms)
    pieces.sold(owner, listing.piece, "260.00", channel=market)
    listing.refresh_from_db()
    answer = offered(owner_client, listing, rooms)
    assert listing.state == "sold" and answer.status_code == 409 and pieces.told_wrongly() == []


def test_where_a_sold_piece_still_stands_is_told_until_it_is_taken_down(owner, owner_client, listing):
    offered(owner_client, listing, pieces.a_channel("Harbour Rooms", kind="shop"), reference="lot 17")
    told = "Still offered through Harbour Rooms"
    assert told not in owner_client.get(listing.get_absolute_url()).content.decode()
    pieces.sold(owner, listing.piece, "260.00")
    page = owner_client.get(listing.get_absolute_url()).content.decode()
    assert told in page and "It stands at lot 17." in page
    owner_client.post(reverse("listings:take_off", args=[listing.offerings.get().pk]), key())
    assert told not in owner_client.get(listing.get_absolute_url()).content.decode()


def test_what_offering_costs_is_written_once_sold_or_not(owner_client, listing):
    market = pieces.a_channel(per_listing=Decimal("0.25"))
    offered(owner_client, listing, market)
    offered(owner_client, listing, market, "250")
    fee = Expense.objects.get()
    assert (fee.amount, fee.piece, fee.channel) == (Decimal("0.25"), listing.piece, market)


def test_a_channel_is_written_down_changed_and_set_aside(owner_client, listing):
    typed = {"name": "Harbour Rooms", "kind": "shop", "own_fees": "on", "percent": "30", "person": "Ebb Harrow"}
    made = owner_client.post(reverse("listings:channel_new"), {**key(), **typed})
    channel = Channel.objects.get()
    assert made.url == channel.get_absolute_url()
    assert (channel.percent, channel.fixed, channel.person.name) == (Fraction(3, 10), 0, "Ebb Harrow")
    again = owner_client.post(reverse("listings:channel_new"), {**key(), **typed, "person": ""})
    assert again.status_code == 422 and "There is a channel of that name" in again.content.decode()
    changed = {**key(), **typed, "percent": "35", "minimum": "5", "cap": "2", "edit_version": channel.edit_version}
    address = reverse("listings:channel_change", args=[channel.pk])
    assert "less than the least" in owner_client.post(address, changed).content.decode()
    owner_client.post(address, {**changed, **key(), "cap": "50", "person_is": channel.person_id})
    channel.refresh_from_db()
    assert (channel.percent, channel.cap, channel.edit_version) == (Fraction(35, 100), 50, 2)
    late = owner_client.post(address, {**changed, **key(), "cap": "60", "person_is": channel.person_id})
    assert late.status_code == 409 and "Somebody else changed this channel" in late.content.decode()
    offered(owner_client, listing, channel)
    owner_client.post(reverse("listings:channel_aside", args=[channel.pk]), key())
    channel.refresh_from_db()
    assert not channel.kept and not listing.offerings.get().on
    page = owner_client.get(channel.get_absolute_url()).content.decode()
    assert "Ebb Harrow" in page and "Use it again" in page
