"""A finished piece is listed, sold or given, and for sale again where that fell through; what was got stays written."""

from __future__ import annotations

import secrets
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import DatabaseError, IntegrityError, connection, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import EditConflict
from shopapp.designs.models import Design, RightsAnswer
from shopapp.listings.actions import ListingFacts, change_listing, list_piece
from shopapp.listings.checks import listings_told_wrongly
from shopapp.listings.models import Listing, ListingEvent
from shopapp.listings.selling.actions import sell
from shopapp.listings.telling import ListingMoved
from shopapp.people.models import Member
from tests.support import work

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="a long enough password", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def plan(owner):
    return work.kept(owner)


@pytest.fixture(scope="module")
def done(owner, plan):
    return work.move(owner, work.job(owner, plan, label="Flag"), "under way", "finished")


@pytest.fixture
def listing(owner, done):
    return work.listing(owner, done)


def keys(listing) -> dict[str, str]:
    listing.refresh_from_db()
    return {"form_key": secrets.token_urlsafe(24), "edit_version": str(listing.edit_version)}


def gone(client, listing, act="sold", **typed):
    today = timezone.localdate().isoformat()
    sent = {**keys(listing), "on": today, "to_whom": "Robin"}
    sent |= {"got": "230", "how": "cash"} if act == "sold" else {}
    sent |= typed
    return client.post(reverse("listings:gone", args=[listing.pk, act]), sent)


# --- listed -----------------------------------------------------------------------------------------------------


def test_whose_the_picture_is_is_asked_before_it_is_listed(owner, owner_client, done):
    """An answer to the quote is none to the listing: each is asked, and each is kept."""
    Design.objects.update(rights="gift")
    address = reverse("listings:new", args=[done.pk])
    assert "May a board of it be listed?" in owner_client.get(address).content.decode()
    with pytest.raises(PlannerError, match="for a private gift only"):
        list_piece(who=owner, job=done, facts=ListingFacts("Flag", "", Decimal(1)))
    version = Design.objects.get().edit_version
    typed = {"form_key": secrets.token_urlsafe(24), "purpose": "list", "edit_version": version, "rights": "own"}
    assert owner_client.post(address, typed).url == address
    assert RightsAnswer.objects.get().purpose == "list"
    form = owner_client.get(address).context["form"]
    assert form.initial == {"title": "Flag", "words": "", "price": done.plan.price}


def test_it_is_listed_once_however_often_the_button_is_pressed(owner, owner_client, done):
    work.may(owner, done.plan, "list")
    typed = {"title": "Flag", "words": "Of four woods.", "price": "240", "form_key": secrets.token_urlsafe(24)}
    for _ in range(2):
        assert owner_client.post(reverse("listings:new", args=[done.pk]), typed).status_code == 302
    listing = Listing.objects.get()
    assert (listing.state, listing.currency_symbol) == ("for sale", "€")
    assert listing.events.get().words == "Flag was listed for €\u00a0240.00."
    assert "Of four woods." in owner_client.get(listing.get_absolute_url()).content.decode()


def test_what_is_not_finished_is_not_listed(owner, owner_client, plan):
    job = work.job(owner, plan)
    work.may(owner, plan, "list")
    assert owner_client.get(reverse("listings:new", args=[job.pk])).url == job.get_absolute_url()
    with pytest.raises(PlannerError, match="Say that it is finished first"):
        list_piece(who=owner, job=job, facts=ListingFacts("Flag", "", Decimal(1)))


def test_a_piece_without_a_plan_is_listed_in_the_shop_s_currency(owner, owner_client):
    job = work.move(owner, work.job(owner), "under way", "finished")
    answer = owner_client.post(
        reverse("listings:new", args=[job.pk]), {"title": "Flag", "price": "9", "form_key": secrets.token_urlsafe(24)}
    )
    assert answer.url == Listing.objects.get().get_absolute_url()
    assert owner_client.get(answer.url).status_code == 200


def test_another_price_is_asked_and_told_while_it_is_for_sale(owner, listing):
    facts = ListingFacts("Flag", "Of four woods.", Decimal("199.00"))
    change_listing(who=owner, listing=listing, facts=facts, seen_version=1)
    assert listing.events.first().words == "€\u00a0199.00 is asked for it now, €\u00a0240.00 was."
    with pytest.raises(EditConflict):
        change_listing(who=owner, listing=listing, facts=facts, seen_version=1)
    listing.refresh_from_db()
    sell(who=owner, piece=listing.piece, on=timezone.localdate(), price=Decimal(1), how="cash")
    listing.refresh_from_db()
    with pytest.raises(ListingMoved, match="is sold"):
        change_listing(who=owner, listing=listing, facts=facts, seen_version=listing.edit_version)


# --- gone -------------------------------------------------------------------------------------------------------


def test_it_is_sold_on_a_day_to_somebody_for_a_price(owner_client, listing):
    assert gone(owner_client, listing, got="229.50").status_code == 302
    event = listing.events.first()
    assert (event.state, event.to_whom, event.got) == ("sold", "Robin", Decimal("229.50"))
    assert event.words == "Flag was sold to Robin for €\u00a0229.50."
    page = owner_client.get(reverse("listings:listings")).content.decode()
    assert "sold" in page and "229.50" in page and listings_told_wrongly() == []


def test_it_is_given_away_for_nothing(owner_client, listing):
    gone(owner_client, listing, "given")
    event = listing.events.first()
    assert (event.state, event.got, event.words) == ("given", None, "Flag was given to Robin.")


def test_a_sale_that_fell_through_stays_and_the_piece_is_for_sale_again(owner_client, listing):
    gone(owner_client, listing)
    address = reverse("listings:again", args=[listing.pk])
    typed = keys(listing)
    for _ in range(2):
        owner_client.post(address, typed)
    listing.refresh_from_db()
    assert listing.state == "for sale"
    told = [(event.state, event.got) for event in listing.events.order_by("pk")]
    assert told == [("for sale", None), ("sold", Decimal("230")), ("for sale", None)]
    assert gone(owner_client, listing, got="210").status_code == 302


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"got": "0"}, "Sold for nothing is given away"),
        ({"got": "much"}, "much"),
        ({"on": (timezone.localdate() + timedelta(days=2)).isoformat()}, "still to come"),
        ({"on": "1926-03-04"}, "more than ten years ago"),
        ({"on": ""}, "Nothing is written"),
    ],
)
def test_what_cannot_be_of_a_sale_is_said_and_what_was_typed_stays(owner_client, listing, typed, said):
    answer = gone(owner_client, listing, **{"to_whom": "As typed", **typed})
    page = answer.content.decode()
    assert answer.status_code == 422 and said in page and "As typed" in page
    assert listing.events.count() == 1


def test_two_who_sell_it_at_once_sell_it_once(owner_client, listing):
    seen = keys(listing)
    gone(owner_client, listing, **seen)
    gone(owner_client, listing, **seen)
    late = gone(owner_client, listing, **{**seen, "form_key": secrets.token_urlsafe(24)})
    assert late.status_code == 409 and " to Robin. Tell whoever wanted it now" in late.content.decode()
    assert listing.events.filter(state="sold").count() == 1


def test_a_helper_sees_what_is_listed_and_no_money(owner_client, listing):
    gone(owner_client, listing)
    client = Client()
    client.force_login(Member.objects.create_user("joss", password="x"))
    for address in (reverse("listings:listings"), listing.get_absolute_url()):
        page = client.get(address).content.decode()
        assert "Flag" in page and "€" not in page and "230" not in page, address
    for name in ("listings:change", "listings:again"):
        assert client.post(reverse(name, args=[listing.pk]), keys(listing)).status_code == 403
    assert gone(client, listing).status_code == 403


# --- what the database itself refuses ---------------------------------------------------------------------------


@pytest.mark.storage
def test_a_sold_price_is_neither_changed_nor_taken_away_by_plain_sql(owner_client, listing):
    gone(owner_client, listing)
    for statement in (
        "UPDATE listings_listingevent SET got = 1", "DELETE FROM listings_listingevent",
        "DELETE FROM listings_listing",
    ):  # fmt: skip
        with pytest.raises(DatabaseError, match="append-only"), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(statement)
    assert listing.events.first().got == Decimal("230")


@pytest.mark.storage
@pytest.mark.parametrize(("state", "got"), [("sold", None), ("sold", 0), ("given", 5), ("for sale", 5)])
def test_the_database_takes_no_sale_without_a_price_and_no_price_without_a_sale(listing, state, got):
    with pytest.raises(IntegrityError), transaction.atomic():
        ListingEvent.objects.create(
            listing=listing, state=state, got=got, on=timezone.localdate(), words="x", plain_words="x"
        )


@pytest.mark.storage
@pytest.mark.parametrize("price", [0, -1])
def test_the_database_takes_no_listing_without_a_price(done, price):
    with pytest.raises(IntegrityError), transaction.atomic():
        Listing.objects.create(job=done, title="x", price=price, currency_symbol="€", currency_exponent=2)
