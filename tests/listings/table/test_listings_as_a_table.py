"""All that is listed goes out as a table in plain columns, safe to open in a spreadsheet, and reads back equal."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from planner.measures import Length
from shopapp.common import tables
from shopapp.listings.models import Channel, Listing, Offering, Piece
from shopapp.listings.pieces.facts import facts
from shopapp.listings.table.columns import HEADS, listings_csv
from shopapp.people.models import Member
from tests.support import visitors, work

ADDRESS = "/listings/listings.csv"
ODD = (
    "=1+1",
    "@SUM(A1)",
    "+49 of them; =2",
    'two\nlines, "quoted"',
    "Fläche",
    "-dark",
    "'tis oak",
    "\u202e=1",
    "plain",
)


@pytest.fixture(scope="module")
def owner(rows_of_this_file):
    return Member.objects.create_user("mara", password="x", role=Member.Role.OWNER)


@pytest.fixture(scope="module")
def listed(owner):
    """Listings whose titles and words are odd, of a piece each, through channels of odd names."""
    job = visitors.finished(owner)
    rows = [work.listing(owner, job, title=odd.replace("\n", " "), words=odd, price=Decimal(n * 10 + 1)) for n, odd in
            enumerate(ODD)]  # fmt: skip
    for name in ("=market", "Our own page"):
        channel = Channel.objects.create(name=name, kind=Channel.Kind.PAGE)
        Offering.objects.create(listing=rows[0], channel=channel, price=Decimal(9), since=date(2026, 3, 5))
    Offering.objects.filter(channel__name="Our own page").update(on=False)
    Listing.objects.filter(pk=rows[1].pk).update(state="held", held_until=date(2026, 12, 24))
    Listing.objects.filter(pk=rows[2].pk).update(public=True)
    Piece.objects.filter(pk=rows[3].piece_id).update(facts={})
    return rows


def test_every_listing_reads_back_equal_to_what_is_in_the_book(db, listed, owner, client):
    client.force_login(owner)
    answer = client.get(ADDRESS)
    assert answer.headers["Content-Disposition"] == 'attachment; filename="listings.csv"'
    assert answer.headers["Cache-Control"] == "private, no-store"
    rows = tables.read(answer.content)
    assert [list(row) for row in rows] == [list(HEADS)] * len(listed)
    for row, listing in zip(rows, Listing.objects.order_by("piece__number", "pk"), strict=True):
        piece, told = listing.piece, facts(listing.piece)
        assert (int(row["number"]), row["title"], row["words"]) == (piece.number, listing.title, listing.words)
        assert (row["state"], row["where"]) == (listing.get_state_display(), piece.get_where_display())
        assert date.fromisoformat(row["made on"]) == piece.made_on
        assert date.fromisoformat(row["listed on"]) == timezone.localdate()
        assert Decimal(row["asked"]) == listing.price and row["currency"] == listing.currency_symbol
        assert (row["shown to visitors"] == "yes") is listing.public
        assert row["held until"] == (listing.held_until.isoformat() if listing.held_until else "")
        sizes = [Length.of_mm(Fraction(row[name])).nm for name in ("wide mm", "high mm", "thick mm") if row[name]]
        assert sizes == list(told.size or ())
        assert (int(row["mass g"]) if row["mass g"] else None) == told.grams
        assert row["woods"] == ", ".join(wood.name for wood in told.woods)
        assert (row["finish"], row["use"]) == (told.finish, told.use)
    assert rows[0]["offered through"] == "=market"


def test_a_measured_piece_has_its_measures_in_the_table(db, listed):
    row = tables.read(listings_csv())[0]
    piece = listed[0].piece
    assert piece.facts["size"] and row["wide mm"] and row["mass g"] and "walnut" in row["woods"].lower()


def test_no_cell_of_it_is_a_formula(db, listed):
    text = listings_csv().decode(tables.CODING)
    for cell in re.findall(r'"((?:[^"]|"")*)"', text):
        assert cell.lstrip("\u202e \n")[:1] not in ("=", "+", "-", "@") or not cell, cell
    assert '"\'=1+1"' in text and '"\'=market"' in text and '"+49 of them' not in text


def test_it_takes_as_many_queries_with_many_listings_as_with_few(db, listed, owner):
    def counted() -> int:
        with CaptureQueriesContext(connection) as taken:
            listings_csv()
        return len(taken)

    few = counted()
    for n in range(3):
        work.listing(owner, listed[0].job, title=f"Flag {n}")
    assert counted() == few <= 3


def test_prices_stand_in_it_so_a_helper_does_not_get_it(db, client, listed):
    client.force_login(Member.objects.create_user("joss", password="x"))
    assert client.get(ADDRESS).status_code == 403 and reverse("listings:listings_csv") == ADDRESS
