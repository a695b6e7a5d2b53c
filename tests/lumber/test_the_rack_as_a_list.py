"""The rack answers what is there, how long, where, for whom and what it is worth; and goes out as a safe table."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from planner.measures import Length
from shopapp.common import tables
from shopapp.lumber.models import Lot, StockPiece
from shopapp.lumber.rack import readers
from shopapp.lumber.stock import actions, promises
from shopapp.people.models import Member
from tests.support.rack import boards
from tests.support.shop import add_woods

RACK = "/woods/rack/"


@pytest.fixture
def stock(owner):
    """Two short walnuts, a long one in the loft promised to Heron, a padauk set aside."""
    add_woods("walnut-black", "padauk")
    boards(owner, 2, length=Length.of_mm(400), price=Decimal(8), per="piece")
    (long,) = boards(owner, 1, place="loft", price=Decimal(30), per="piece")
    (red,) = boards(owner, 1, wood="padauk", price=Decimal("12.34"), per="piece")
    promises.reserve(who=owner, demand=promises.want_wood(label="Heron", key="test:1"), pieces=[long])
    actions.set_piece_aside(who=owner, piece=red, reason="=still wet")
    return owner


def marks(answer) -> list[str]:
    return [piece.mark for group in answer.context["groups"] for piece in group.pieces]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({}, ["P4", "W3", "W1", "W2"]),
        ({"wood": "walnut-black"}, ["W3", "W1", "W2"]),
        ({"wood": "walnut-black", "least": "401"}, ["W3"]),
        ({"least": "400"}, ["P4", "W3", "W1", "W2"]),
        ({"place": "loft"}, ["W3"]),
        ({"free": "on"}, ["W1", "W2"]),
        ({"mark": "2"}, ["W2"]),
        ({"mark": "w"}, ["W3", "W1", "W2"]),
        ({"wood": "padauk", "free": "on"}, []),
    ],
)
def test_the_list_is_narrowed_by_what_a_maker_asks(stock, owner_client, asked, found):
    assert marks(owner_client.get(RACK, asked)) == found


def test_the_sums_at_the_foot_are_of_what_is_shown(stock, owner_client):
    sums = owner_client.get(RACK, {"wood": "walnut-black"}).context["sums"]
    # 27 by 150 mm; 144 cubic inches are a board foot.
    exact = Fraction(27 * 150 * (400 + 400 + 2000)) / (144 * Fraction("25.4") ** 3)
    assert (sums.pieces, sums.feet, sums.worth) == (3, exact, Decimal("46.00"))


def test_each_piece_says_whether_it_is_free_promised_or_set_aside(stock, owner_client):
    body = owner_client.get(RACK).content.decode()
    assert "promised to Heron" in body and "set aside: =still wet" in body and body.count(">free<") == 2


def test_a_length_that_cannot_be_read_is_said_beside_its_field(stock, owner_client):
    answer = owner_client.get(RACK, {"least": "1,234", "wood": "padauk"})
    assert answer.status_code == 422 and "two ways" in answer.context["form"].errors["least"][0]
    assert answer.context["form"]["least"].value() == "1,234" and marks(answer) == ["P4"]


def test_a_helper_sees_the_pieces_and_not_what_they_are_worth(stock, client):
    client.force_login(Member.objects.create_user("joss", password="x"))
    for address in (RACK, "/woods/rack/W3/", "/woods/rack/rack.csv"):
        answer = client.get(address)
        body = (b"".join(answer.streaming_content) if answer.streaming else answer.content).decode()
        assert "W3" in body and "30.00" not in body and "worth" not in body.lower(), address


def test_the_table_holds_every_piece_in_plain_columns_and_no_formula(stock, owner_client):
    answer = owner_client.get(reverse("lumber:rack_csv"))
    data = b"".join(answer.streaming_content)
    rows = tables.read(data)
    assert [row["mark"] for row in rows] == ["W1", "W2", "W3", "P4"]
    assert rows[0]["length mm"] == "400" and rows[2]["promised to"] == "Heron" and rows[2]["place"] == "loft"
    assert (
        rows[3]["set aside"] == "=still wet"
        and b'"\'=still wet"' in data
        and Decimal(rows[3]["worth EUR"]) == Decimal("12.34")
    )


def test_a_long_table_goes_out_in_parts_and_no_piece_twice(stock, owner_client, monkeypatch):
    monkeypatch.setattr(readers, "ROWS_AT_ONCE", 2)
    parts = list(owner_client.get(reverse("lumber:rack_csv")).streaming_content)
    assert len(parts) == 3  # the heads, then four pieces by twos
    assert [row["mark"] for row in tables.read(b"".join(parts))] == ["W1", "W2", "W3", "P4"]


def test_the_table_is_narrowed_like_the_list(stock, owner_client):
    answer = owner_client.get(reverse("lumber:rack_csv"), {"wood": "padauk"})
    assert len(b"".join(answer.streaming_content).splitlines()) == 2


def lay_more(count: int) -> None:
    """Pieces straight into the table, as no maker would, to see the list under them."""
    lot = Lot.objects.get()
    size = {"thickness": Length.of_mm(27), "width": Length.of_mm(150), "worth": Decimal("7.25")}
    StockPiece.objects.bulk_create(
        [
            StockPiece(mark=f"P{n}", lot=lot, wood="padauk", length=Length.of_mm(300 + n % 3000), **size)
            for n in range(2, count + 2)
        ],
        batch_size=2000,
    )


def test_the_list_takes_as_many_queries_for_twenty_thousand_pieces_as_for_one(owner, owner_client):
    add_woods("walnut-black", "padauk")
    boards(owner, 1)
    counts = []
    for more in (0, 19_999):
        lay_more(more)
        with CaptureQueriesContext(connection) as taken:
            answer = owner_client.get(RACK, {"least": "300"})
        counts.append(len(taken))
    assert counts[0] == counts[1] <= 8
    assert answer.context["sums"].pieces == 20_000 and len(marks(answer)) == 100
    assert "1 of 200" in answer.content.decode()
    assert len(marks(owner_client.get(RACK, {"page": "200"}))) == 100
