"""A piece is sold once: what a sale comes to, who is told no, what becomes of a sale, and which of two stands."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from django.core.exceptions import PermissionDenied
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.listings.models import Channel, Expense, Listing, Piece, Sale, SaleChange
from shopapp.listings.pieces.actions import move_piece
from shopapp.listings.public.readers import for_sale
from shopapp.listings.selling.actions import AlreadySold, give, hold, withdraw
from shopapp.listings.selling.ending import let_stand, offer_again, take_back, take_gift_back
from shopapp.listings.telling import ListingMoved
from shopapp.payments.readers import standing
from shopapp.people.models import Member
from shopapp.workshop.models import Workshop
from tests.support import pieces, work

pytestmark = pytest.mark.django_db


@pytest.fixture
def taxed(db):
    """A shop that has a fifth of the net price as tax in its prices."""
    Workshop.objects.update_or_create(pk=1, defaults={"tax": Fraction(20, 100), "tax_included": True})


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def heron(owner) -> Piece:
    return pieces.piece(owner)


def site() -> Channel:
    """Takes a twentieth of what the buyer pays before tax, and 30 cents."""
    return Channel.objects.create(name="Quay Market", kind="site", percent=Fraction(5, 100), fixed=Decimal("0.30"))


# --- a sale -----------------------------------------------------------------------------------------------------


def test_a_sale_is_split_into_net_and_tax_and_the_channel_takes_its_fee(owner, taxed, heron):
    """By hand: 240 and 12 of carriage are 252, a sixth of it tax: 42. Net 210, of which 5 % and 30 cents is 10.80."""
    sale = pieces.sold(owner, heron, "240.00", carriage=Decimal(12), channel=site())
    assert (sale.gross, sale.tax_sum, sale.net) == (Decimal(252), Decimal(42), Decimal(210))
    fee = Expense.objects.get()
    assert (fee.kind, fee.amount, fee.sale, fee.channel.name) == ("fee", Decimal("10.80"), sale, "Quay Market")
    assert sale.settled["fees"] == [["Quay Market", "10.80"]] and Decimal(sale.settled["left"]) == Decimal("199.20")
    heron.refresh_from_db()
    assert (heron.where, heron.sale, heron.events.first().plain_words) == ("sold", sale, "No. 1, Heron was sold.")
    assert pieces.told_wrongly() == []


def test_tax_that_is_added_comes_on_top_of_price_and_carriage(owner, taxed, heron):
    Workshop.objects.update(tax_included=False)
    sale = pieces.sold(owner, heron, "100.00", carriage=Decimal(10))
    assert (sale.net, sale.tax_sum, sale.gross) == (Decimal(110), Decimal(22), Decimal(132))


def test_what_was_agreed_with_the_shop_it_lies_with_is_what_that_shop_keeps(owner, heron):
    shop = Channel.objects.create(name="Harbour Rooms", kind="shop", percent=Fraction(40, 100))
    move_piece(owner, heron, "shop", on=timezone.localdate(), words="x", channel=shop, commission=Fraction(30, 100))
    pieces.sold(owner, heron, "200.00", channel=shop)
    assert Expense.objects.get().amount == Decimal("60.00")


def test_the_same_key_once_more_is_the_sale_there_is(owner, heron):
    first = pieces.sold(owner, heron, key="stall-7")
    assert pieces.sold(owner, heron, "1.00", key="stall-7") == first and Sale.objects.count() == 1
    with pytest.raises(PlannerError, match="of another piece"):
        pieces.sold(owner, pieces.piece(owner, label="Otter"), key="stall-7")


def test_who_comes_second_is_told_when_it_was_sold_and_where(owner, heron):
    pieces.sold(owner, heron, channel=site())
    with pytest.raises(AlreadySold, match=r"No\. 1, Heron was sold on .* to Robin through Quay Market") as told:
        pieces.sold(owner, heron, to_whom="Wren")
    assert told.value.sale == Sale.objects.get()
    with pytest.raises(AlreadySold):
        give(who=owner, piece=heron, on=timezone.localdate())


def test_what_was_given_is_neither_sold_nor_given_again(owner, heron):
    give(who=owner, piece=heron, on=timezone.localdate(), to_whom="Aunt Sedge")
    with pytest.raises(AlreadySold, match="given away, since"):
        pieces.sold(owner, heron)
    with pytest.raises(AlreadySold, match="given away, since"):
        give(who=owner, piece=heron, on=timezone.localdate())
    assert not Sale.objects.exists()


@pytest.mark.parametrize("price", ["0", "-5", "10.005"])
def test_a_sum_nobody_pays_is_no_sale(owner, heron, price):
    with pytest.raises(PlannerError):
        pieces.sold(owner, heron, price)
    heron.refresh_from_db()
    assert heron.sale is None and not Sale.objects.exists()


def test_only_the_owner_sells(owner, heron):
    joss = Member.objects.create_user("joss", password="x")
    for act in (lambda: pieces.sold(joss, heron), lambda: give(who=joss, piece=heron, on=timezone.localdate())):
        with pytest.raises(PermissionDenied):
            act()


def test_sold_on_an_invoice_it_is_owed_to_the_coin_and_no_longer_when_it_falls_through(owner, taxed, heron):
    sale = pieces.sold(owner, heron, "99.99", carriage=Decimal("7.50"), how="invoice")
    owed = standing(sale.account_key)
    assert owed.owed == sale.gross == Decimal("107.49") and owed.paid == 0
    take_back(who=owner, sale=sale, kind="fell through", on=timezone.localdate())
    assert standing(sale.account_key).stopped
    again = pieces.sold(owner, heron, "80.00", how="invoice")
    assert again.account_key != sale.account_key and standing(again.account_key).owed == Decimal(80)


def test_an_invoice_to_nobody_is_refused_and_nothing_is_sold(owner, heron):
    with pytest.raises(PlannerError, match="An invoice is to somebody"):
        pieces.sold(owner, heron, how="invoice", to_whom=None)
    heron.refresh_from_db()
    assert heron.where == "here" and not Sale.objects.exists()


# --- what becomes of it -----------------------------------------------------------------------------------------


def test_parts_given_back_and_the_rest_are_the_sale_to_the_coin_their_taxes_too(owner, taxed, heron):
    sale = pieces.sold(owner, heron, "100.01")
    on = timezone.localdate()
    for part in ("33.33", "0.01"):
        take_back(who=owner, sale=sale, kind="reduced", on=on, back=Decimal(part))
    heron.refresh_from_db()
    assert heron.sale == sale, "a part given back ends nothing"
    take_back(who=owner, sale=sale, kind="returned", on=on, where="damaged")
    changes = list(sale.changes.all())
    assert sum(one.back for one in changes) == sale.gross and sum(one.back_tax for one in changes) == sale.tax_sum
    heron.refresh_from_db()
    assert (heron.sale, heron.where) == (None, "damaged") and pieces.told_wrongly() == []


def test_more_than_was_paid_does_not_go_back_and_a_sale_ends_once(owner, heron):
    sale = pieces.sold(owner, heron, "50.00")
    on = timezone.localdate()
    with pytest.raises(PlannerError, match=r"50\.00 is left"):
        take_back(who=owner, sale=sale, kind="returned", on=on, back=Decimal(51))
    with pytest.raises(PlannerError, match="Nothing was given back"):
        take_back(who=owner, sale=sale, kind="reduced", on=on, back=Decimal(0))
    with pytest.raises(PlannerError, match="sold later than that"):
        take_back(who=owner, sale=sale, kind="returned", on=on - timedelta(days=1))
    take_back(who=owner, sale=sale, kind="returned", on=on, back=Decimal(0))
    with pytest.raises(ListingMoved, match="over already"):
        take_back(who=owner, sale=sale, kind="mistake", on=on)
    assert SaleChange.objects.count() == 1


def test_a_sale_that_fell_through_takes_its_fee_back_and_a_return_leaves_it_with_the_channel(owner, heron):
    on, channel = timezone.localdate(), site()
    take_back(who=owner, sale=pieces.sold(owner, heron, channel=channel), kind="fell through", on=on)
    assert sum(one.amount for one in Expense.objects.all()) == 0 and Expense.objects.count() == 2
    take_back(who=owner, sale=pieces.sold(owner, heron, channel=channel), kind="returned", on=on)
    assert sum(one.amount for one in Expense.objects.all()) == Decimal("12.30")
    assert pieces.told_wrongly() == []


def test_a_gift_taken_back_is_here_and_its_listing_for_sale(owner, heron):
    listing = work.listing(owner, heron.job)
    give(who=owner, piece=heron, on=timezone.localdate(), to_whom="Aunt Sedge")
    listing.refresh_from_db()
    assert listing.state == "given"
    take_gift_back(who=owner, piece=heron, on=timezone.localdate())
    for row in (listing, heron):
        row.refresh_from_db()
    assert (listing.state, heron.where) == ("for sale", "here")
    with pytest.raises(ListingMoved):
        take_gift_back(who=owner, piece=heron, on=timezone.localdate())


# --- too late ---------------------------------------------------------------------------------------------------


def test_a_sale_that_came_too_late_is_written_and_gives_way(owner, heron):
    first = pieces.sold(owner, heron)
    late = pieces.sold(owner, heron, "200.00", key="stall-1", to_whom="Wren", late_ok=True)
    heron.refresh_from_db()
    assert heron.sale == first and "both are written down" in heron.events.first().words
    assert "Wren" not in heron.events.first().plain_words and pieces.told_wrongly() == []
    let_stand(who=owner, sale=first, words="The first had paid.")
    heron.refresh_from_db()
    assert heron.sale == first and late.changes.get().kind == "gave way" and late.changes.get().back == late.gross
    with pytest.raises(ListingMoved, match="over already"):
        let_stand(who=owner, sale=late)
    assert pieces.told_wrongly() == []


def test_the_late_one_may_stand_and_the_first_gives_way(owner, heron):
    listing = work.listing(owner, heron.job)
    first = pieces.sold(owner, heron)
    late = pieces.sold(owner, heron, "200.00", to_whom="Wren", late_ok=True)
    let_stand(who=owner, sale=late)
    for row in (listing, heron):
        row.refresh_from_db()
    assert heron.sale == late and heron.where == "sold" and listing.state == "sold"
    assert listing.events.first().sale == late and first.changes.get().kind == "gave way"
    assert pieces.told_wrongly() == []


def test_what_was_given_while_it_was_sold_at_a_stall_is_the_buyer_s_or_the_gift_stays(owner, heron):
    give(who=owner, piece=heron, on=timezone.localdate(), to_whom="Aunt Sedge")
    late = pieces.sold(owner, heron, key="stall-1", late_ok=True)
    heron.refresh_from_db()
    assert heron.sale is None and heron.where == "given" and pieces.told_wrongly() == []
    let_stand(who=owner, sale=late)
    heron.refresh_from_db()
    assert heron.sale == late and heron.where == "sold" and pieces.told_wrongly() == []


# --- held, withdrawn --------------------------------------------------------------------------------------------


def test_a_piece_is_held_until_a_day_and_can_be_sold_or_offered_again(owner, heron):
    listing = work.listing(owner, heron.job)
    tomorrow = timezone.localdate() + timedelta(days=1)
    hold(who=owner, listing=listing, until=tomorrow, to_whom="Wren", seen_version=1)
    listing.refresh_from_db()
    assert (listing.state, listing.held_until, listing.events.first().person.name) == ("held", tomorrow, "Wren")
    assert "Wren" not in listing.events.first().plain_words
    offer_again(who=owner, listing=listing, seen_version=listing.edit_version)
    listing.refresh_from_db()
    assert (listing.state, listing.held_until) == ("for sale", None)
    with pytest.raises(PlannerError, match="That day is over"):
        hold(who=owner, listing=listing, until=tomorrow - timedelta(days=2), seen_version=None)
    hold(who=owner, listing=listing, until=tomorrow, seen_version=None)
    pieces.sold(owner, heron)
    with pytest.raises(ListingMoved, match="is sold"):
        hold(who=owner, listing=listing, until=tomorrow, seen_version=None)
    assert pieces.told_wrongly() == []


def test_what_was_held_past_its_day_is_free_by_itself_and_whom_it_was_for_is_told_to_the_maker_alone(
    owner, owner_client, heron
):
    listing, today = work.listing(owner, heron.job), timezone.localdate()
    hold(who=owner, listing=listing, until=today, to_whom="Wren Attwater", seen_version=1)
    Listing.objects.update(public=True)
    pages = [listing.get_absolute_url(), heron.get_absolute_url(), reverse("listings:listings")]
    client = Client()
    client.force_login(Member.objects.create_user("joss", password="x"))
    for past, words in ((False, "held until|Until"), (True, "held until")):
        Listing.objects.update(held_until=today - timedelta(days=past))
        listing.refresh_from_db()
        assert listing.get_state_display() == ("for sale" if past else "held")
        assert list(for_sale()) == ([listing] if past else [])
        for page in pages:
            told = owner_client.get(page).content.decode()
            assert "Wren Attwater" in told and re.search(words, told), (page, past)
            assert "Wren Attwater" not in client.get(page).content.decode(), page
    assert "it is free" in owner_client.get(pages[0]).content.decode()
    assert "was held for Wren Attwater until" in owner_client.get(reverse("listings:pieces")).content.decode()
    assert pieces.sold(owner, heron).listing == listing and pieces.told_wrongly() == []


def test_what_is_withdrawn_may_be_listed_anew_and_is_not_offered_twice(owner, heron):
    listing = work.listing(owner, heron.job)
    withdraw(who=owner, listing=listing, seen_version=1, words="For the show.")
    again = work.listing(owner, heron.job, title="Heron in reeds")
    assert again.piece == heron
    with pytest.raises(ListingMoved, match="listed anew already"):
        offer_again(who=owner, listing=listing, seen_version=None)
    assert pieces.told_wrongly() == []


# --- what the database itself refuses ---------------------------------------------------------------------------


@pytest.mark.storage
def test_a_sale_and_what_became_of_it_are_neither_changed_nor_taken_away_by_plain_sql(owner, heron):
    sale = pieces.sold(owner, heron, channel=site())
    take_back(who=owner, sale=sale, kind="reduced", on=timezone.localdate(), back=Decimal(1))
    for statement in (
        "UPDATE listings_sale SET price = 1", "DELETE FROM listings_sale", "UPDATE listings_salechange SET back = 2",
        "DELETE FROM listings_expense", "UPDATE listings_expense SET amount = 1", "DELETE FROM listings_piece",
    ):  # fmt: skip
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)


@pytest.mark.storage
def test_the_database_takes_no_second_ending_of_a_sale(owner, heron):
    sale = pieces.sold(owner, heron)
    take_back(who=owner, sale=sale, kind="returned", on=timezone.localdate())
    with pytest.raises(IntegrityError), transaction.atomic():
        SaleChange.objects.create(sale=sale, kind="mistake", on=timezone.localdate())
