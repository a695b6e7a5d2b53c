"""What was written with a name before there was a book of people is put to a person by the owner, row by row."""

from __future__ import annotations

import secrets

import pytest
from django.db import DatabaseError, transaction
from django.urls import reverse
from django.utils import timezone

from shopapp.common.ledger import lay_triggers, missing_triggers
from shopapp.listings.models import ListingEvent
from shopapp.people.book import held_of
from shopapp.people.known.erasing import erase_person, still_standing
from shopapp.people.loose import loose_rows
from shopapp.quotes.models import Quote
from tests.support import work
from tests.support.people import somebody

NAME = "Wren Attwater"


def take(client, person, row: str):
    sent = {"form_key": secrets.token_urlsafe(24), "row": row}
    return client.post(reverse("people:take", args=[person.pk]), sent, follow=True).content.decode()


@pytest.mark.django_db
def test_a_row_with_the_name_is_offered_and_becomes_theirs_and_goes_with_them(owner, owner_client):
    wren = somebody(NAME)
    quote = work.quote(owner, work.kept(owner))
    job = work.move(owner, work.job(owner, for_whom="wren attwater"), "under way", "finished")
    other = work.job(owner, label="Pennant", for_whom="Tam Sedge")
    listing = work.listing(owner, job)
    piece = ListingEvent.objects.create(
        listing=listing, state="given", on=timezone.localdate(), to_whom=NAME, words="x", plain_words="x"
    )
    rows = {key for key, _ in loose_rows(wren)}
    assert rows == {f"quote {quote.pk}", f"job {job.pk}", f"piece {piece.pk}"}
    for row in rows:
        assert "It is theirs" in take(owner_client, wren, row)
    assert loose_rows(wren) == [] and {"quotes", "jobs", "listings"} <= set(held_of(wren))
    other.refresh_from_db()
    assert other.person is None
    erase_person(who=owner, person=wren, typed=NAME)
    assert still_standing(NAME) == {}


@pytest.mark.parametrize("row", ["", "job", "job x", "job 999999", "letter 1", "job -1", "job " + "9" * 40])
def test_a_row_that_is_none_of_theirs_is_refused_in_words(owner, owner_client, row):
    wren = somebody(NAME)
    work.job(owner, for_whom="Tam Sedge")
    assert "not without its person any more" in take(owner_client, wren, row)


def test_a_row_of_another_name_or_of_somebody_else_is_not_taken(owner, owner_client):
    wren, other = somebody(NAME), somebody("Tam Sedge")
    named, theirs = work.job(owner, for_whom="Ebb Harrow"), work.job(owner, person=other)
    for job in (named, theirs):
        assert "not without its person any more" in take(owner_client, wren, f"job {job.pk}")
        job.refresh_from_db()
    assert named.person is None and theirs.person == other


@pytest.mark.django_db
def test_of_a_quote_nothing_is_changed_but_who_of_the_book_it_is_for(owner):
    lay_triggers()
    quote = work.quote(owner, work.kept(owner))
    assert missing_triggers() == []
    with pytest.raises(DatabaseError, match="append-only"), transaction.atomic():
        Quote.objects.filter(pk=quote.pk).update(person=somebody(NAME), number=77)
