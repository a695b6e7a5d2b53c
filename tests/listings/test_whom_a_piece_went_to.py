"""Whoever buys a piece or is given one stands in the book of people, and can be forgotten there."""

from __future__ import annotations

import secrets
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from shopapp.common.models import AuditLine
from shopapp.listings.models import ListingEvent
from shopapp.listings.selling.actions import give, sell
from shopapp.listings.selling.ending import take_back
from shopapp.people.book import held_of
from shopapp.people.known.erasing import erase_person, still_standing
from shopapp.people.models import Person
from tests.support import pieces, work
from tests.support.people import somebody


@pytest.fixture
def listing(owner):
    done = work.move(owner, work.job(owner), "under way", "finished")
    return work.listing(owner, done)


def gone(client, listing, act: str, **typed: object):
    keys = {"form_key": secrets.token_urlsafe(24), "edit_version": listing.edit_version}
    sent = {**keys, "on": timezone.localdate().isoformat(), "got": "230", "how": "cash", **typed}
    return client.post(reverse("listings:gone", args=[listing.pk, act]), sent)


@pytest.mark.parametrize("act", ["sold", "given"])
def test_a_name_that_is_new_gets_its_row_and_the_piece_stands_on_its_page(owner_client, listing, act):
    gone(owner_client, listing, act, to_whom="Aunt Sedge")
    person = Person.objects.get()
    event = ListingEvent.objects.first()
    assert (event.person, event.to_whom, person.name) == (person, "Aunt Sedge", "Aunt Sedge")
    body = owner_client.get(person.get_absolute_url()).content.decode()
    assert f'<a href="{listing.get_absolute_url()}">Flag was {act} to Aunt Sedge' in body


def test_who_is_in_the_book_already_is_taken_and_a_part_of_a_name_is_asked_about(owner_client, listing):
    sedge = somebody("Aunt Sedge")
    answer = gone(owner_client, listing, "given", to_whom="Sedge")
    assert answer.status_code == 422
    body = answer.content.decode()
    assert "Aunt Sedge is in the book already" in body and ListingEvent.objects.count() == 1
    assert gone(owner_client, listing, "given", to_whom="Sedge", to_whom_is=sedge.pk).status_code == 302
    assert ListingEvent.objects.first().person == sedge and Person.objects.count() == 1


def test_a_piece_may_go_without_a_name(owner_client, listing):
    gone(owner_client, listing, "given")
    assert ListingEvent.objects.first().words == "Flag was given away." and not Person.objects.exists()


def test_to_whom_a_piece_went_is_destroyed_with_them_and_what_was_got_stays(owner, listing):
    wren = somebody("Wren Attwater")
    sell(who=owner, piece=listing.piece, on=timezone.localdate(), to_whom=wren, price=listing.price, how="cash")
    event = listing.events.get(state="sold")
    held = held_of(wren)["listings"]["pieces"]
    assert [(one["became"], one["to_whom"], one["got"]) for one in held] == [("sold", "Wren Attwater", "240.0000")]
    erasure = erase_person(who=owner, person=wren, typed="Wren Attwater")
    assert "Their name on 1 piece they bought or were given." in erasure.gone
    event.refresh_from_db()
    wren.refresh_from_db()
    assert (
        event.to_whom == str(wren) and event.got == listing.price and event.words.startswith(f"Flag was sold to {wren}")
    )
    assert still_standing("Wren Attwater") == {} and held_of(wren) == {}
    assert AuditLine.objects.filter(what__contains=f"sold to {wren}").exists()


def test_where_there_are_no_names_nobody_is_told_whom_a_piece_went_to(owner, listing):
    give(who=owner, piece=listing.piece, on=timezone.localdate(), to_whom="Wren Attwater")
    event = listing.events.get(state="given")
    assert event.told_plainly == event.plain_words == "Flag was given away."
    # As it was written before there was a book of people.
    before = ListingEvent(to_whom="Robin", plain_words="Flag was given to Robin.")
    assert before.told_plainly == "Flag was given to somebody."


def test_a_sale_its_parcel_and_what_came_of_both_forget_the_name_wherever_it_stands(owner):
    """A sale, a parcel on its way, a part given back, and a return: each tells the name, and none does afterwards."""
    wren, today = somebody("Wren Attwater"), timezone.localdate()
    one = pieces.piece(owner)
    sale = pieces.sold(owner, one, to_whom=wren, words="Wren Attwater fetches it", how="invoice")
    one.refresh_from_db()
    pieces.a_parcel(owner, one, "sent", "damaged", number="TP-77")
    take_back(who=owner, sale=sale, kind="reduced", on=today, back=Decimal(5), words="As Wren Attwater asked")
    take_back(who=owner, sale=sale, kind="returned", on=today, words="Wren Attwater brought it back")
    shop = pieces.a_channel("Wren Attwater", kind="shop", person=wren)
    held = held_of(wren)["listings"]
    assert {"went", "sales", "parcels", "channels"} <= set(held)
    assert held["sales"][0]["price"] == "240.0000" and held["parcels"][0]["number"] == "TP-77"
    gone = erase_person(who=owner, person=wren, typed="Wren Attwater").gone
    assert "The number of 1 parcel." in gone and "way of selling" in gone
    left = {what: count for what, count in still_standing("Wren Attwater").items() if "account" not in what}
    shop.refresh_from_db()
    sale.refresh_from_db()
    wren.refresh_from_db()
    assert left == {} and "Wren" not in shop.name and sale.price == Decimal(240) and sale.changes.count() == 2
    assert "listings" not in held_of(wren) and pieces.told_wrongly() == []
