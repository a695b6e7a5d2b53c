"""A delivery goes out as a table and comes in as an equal one; a rack comes in as the first stock of an empty book."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from planner.measures import Length
from shopapp.common import tables
from shopapp.lumber.buying.tables.cells import bare_text
from shopapp.lumber.models import Delivery, Lot, StockEntry, StockMove, StockPiece, Supplier, WoodOnHand
from shopapp.lumber.stock import actions, promises
from shopapp.lumber.stock.buying import DeliveryFacts, book_delivery
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support.rack import boards, line, supplier
from tests.support.shop import add_woods
from tests.support.tables import Bringing

# What a delivery is, whichever number it has in the book.
OF_DELIVERY = ("on", "reference", "carriage", "tax", "tax_included", "rule", "thin_as_inch", "note")
OF_LOT = [field.name for field in Lot._meta.fields if field.name not in ("id", "delivery")]


def booked(owner, seller: Supplier) -> Delivery:
    """A delivery of every kind of line, fine lengths and odd words, carriage that does not divide evenly."""
    known = {
        "grade": "=FAS",
        "surfaced": True,
        "cut": "quartered",
        "sapwood": True,
        "shade": '\'-dark, "smoky"',
        "moisture": Decimal("11.5"),
        "moisture_on": date(2026, 2, 28),
        "fit_on": date(2026, 6, 1),
    }
    quarter = Length.of_inches("5/4")
    lines = [
        line(nominal_thickness=quarter, thickness=Length.from_nm(30_000_001), facts=known, place="loft; left", count=3),
        line("padauk", price=Decimal("0.0375"), per="piece", width=Length.of_inches("97/16")),
        line("padauk", price=Decimal("1234.5"), per="m3", nominal_thickness=Length.of_inches("3/4")),
        line(price=Decimal("3.3333"), per="kg", mass_kg=Decimal("17.125"), count=2),
        line(price=Decimal(7), per="sqft"),
        line(price=Decimal(4), per="m", length=Length.of_mm(10_500)),
        line(price=Decimal(0)),
        line(thickness=Length.of_inches("1/2"), nominal_thickness=Length.of_inches("1/2")),
    ]
    facts = DeliveryFacts(seller, date(2026, 3, 2), "T; 17", Decimal("19.99"), "@ the \u201cback\u201d door, twice")
    return book_delivery(who=owner, facts=facts, lines=lines)


def table_of(client, delivery: Delivery) -> bytes:
    return client.get(reverse("lumber:delivery_csv", args=[delivery.pk])).content


def bring(client, data: bytes, **ticks: str):
    """A file looked at and booked, every question answered with yes."""
    bringing = Bringing(client)
    answer = bringing.press("look", file=data)
    assert answer.status_code == 200, answer.context["form"].summary()
    return bringing.press("book", gift="on", longer="on", reading="on", sellers="on")


@pytest.fixture
def woods(db):
    add_woods("walnut-black", "padauk")
    WoodOnHand.objects.filter(wood="padauk").update(name="Padauk, red")


@pytest.mark.parametrize(
    "seller",
    [
        {"rule": "surface", "thin_as_inch": True, "tax": Fraction(1, 5), "tax_included": True},
        {"rule": "whole", "tax": Fraction("0.0775"), "tax_included": False},
        {"rule": "exact"},
    ],
)
def test_a_delivery_out_and_in_again_is_an_equal_one_to_the_coin_and_the_nanometre(woods, owner, owner_client, seller):
    row = supplier("Millrace; Yard", **seller)
    first = booked(owner, row)
    data = table_of(owner_client, first)
    # Whatever they do today: a delivery keeps the terms of its day.
    Supplier.objects.update(rule="width up", tax=Fraction(1, 2), tax_included=True)
    assert bring(owner_client, data).status_code == 302
    second = Delivery.objects.exclude(pk=first.pk).get()
    first.refresh_from_db()
    assert [getattr(second, name) for name in OF_DELIVERY] == [getattr(first, name) for name in OF_DELIVERY]
    assert second.supplier == first.supplier
    assert list(second.lots.values_list(*OF_LOT)) == list(first.lots.values_list(*OF_LOT))
    worths = [
        list(StockPiece.objects.filter(lot__delivery=one).order_by("pk").values_list("worth", "place"))
        for one in (first, second)
    ]
    assert worths[0] == worths[1] and len(worths[0]) == 11
    _, *lines = table_of(owner_client, second).decode().splitlines()
    assert lines == data.decode().splitlines()[1:]
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []


def test_it_comes_in_equal_to_another_shop_where_its_seller_is_not_known(woods, owner, owner_client):
    first = booked(owner, supplier("Millrace Yard", rule="surface", tax=Fraction(1, 5)))
    data = table_of(owner_client, first)
    lots = list(first.lots.values_list(*OF_LOT))
    empty_book()
    assert bring(owner_client, data).status_code == 302
    assert list(Lot.objects.values_list(*OF_LOT)) == lots
    seller = Supplier.objects.get()
    assert (seller.name, seller.rule, seller.tax) == ("Millrace Yard", "surface", Fraction(1, 5))


def empty_book() -> None:
    """A book with nothing in it, as another shop would begin with; the tables themselves let nothing go."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name LIKE 'lumber_%%'")
            for (name,) in cursor.fetchall():
                cursor.execute(f'DROP TRIGGER "{name}"')
    for model in (StockMove, StockPiece, StockEntry, Lot, Delivery, Supplier):
        model.objects.all()._raw_delete(using="default")


@pytest.fixture
def rack(woods, owner) -> bytes:
    """A rack that was lived with: split, moved, surfaced, set aside, taken from; two sellers, three days."""
    row = supplier("Millrace Yard", tax=Fraction(1, 5))
    book_delivery(who=owner, facts=DeliveryFacts(row, date(2026, 3, 2)), lines=[line(count=3, place="loft")])
    other = supplier("Eel Quay Timber", tax=Fraction(1, 10), tax_included=False)
    book_delivery(
        who=owner,
        facts=DeliveryFacts(other, date(2026, 3, 9)),
        lines=[
            line("padauk", facts={"grade": "-1", "cut": "rift", "surfaced": True}, width=Length.from_nm(123_456_789))
        ],
    )
    book_delivery(who=owner, facts=DeliveryFacts(row, date(2026, 4, 1)), lines=[line(price=Decimal(0))])
    first, second, third = StockPiece.objects.order_by("pk")[:3]
    size = actions.Size(first.thickness, first.width, Length.of_mm(900))
    actions.split_piece(who=owner, piece=first, parts=[size, size])
    actions.set_piece_aside(who=owner, piece=second, reason="=cupped")
    actions.surface_piece(who=owner, piece=third, thickness=Length.of_mm(22))
    actions.move_piece(who=owner, piece=StockPiece.objects.get(mark="P4"), place="by the door")


def rack_table(client) -> bytes:
    return b"".join(client.get(reverse("lumber:rack_csv")).streaming_content)


def test_a_rack_comes_into_an_empty_book_and_goes_out_the_same(rack, owner_client):
    before = rack_table(owner_client)
    assert before.count(b"W1a") == 1
    empty_book()
    answer = bring(owner_client, before)
    assert answer.url == reverse("lumber:deliveries")
    assert rack_table(owner_client) == before
    assert [f"{d.supplier} {d.on}" for d in Delivery.objects.order_by("pk")] == [
        "Millrace Yard 2026-03-02", "Eel Quay Timber 2026-03-09", "Millrace Yard 2026-04-01",
    ]  # fmt: skip
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    assert StockPiece.objects.get(mark="W2").set_aside == "=cupped"


def test_what_is_promised_comes_in_free_and_is_told(woods, owner, owner_client):
    (piece,) = boards(owner, 1)
    promises.reserve(who=owner, demand=promises.want_wood(label="Heron", key="test:1"), pieces=[piece])
    data = rack_table(owner_client)
    empty_book()
    body = Bringing(owner_client).press("look", file=data).content.decode()
    assert "Promises stay with whoever made them: line 2 comes in free." in body


def test_two_thousand_pieces_come_in_with_a_fixed_number_of_queries_for_reading(woods, owner_client):
    supplier("Millrace Yard")
    rows = [f"W{n},Black walnut,27,150,{500 + n},7.25,Millrace Yard,2026-03-02" for n in range(1, 2001)]
    table = "\n".join(["mark,wood,thickness mm,width mm,length mm,worth EUR,bought from,bought on", *rows])
    bringing = Bringing(owner_client)
    with CaptureQueriesContext(connection) as taken:
        assert bringing.press("look", table).status_code == 200
    assert len(taken) < 16
    assert bringing.press("book").status_code == 302
    assert StockPiece.objects.count() == 2000 and Lot.objects.count() == 2000
    assert StockPiece.objects.get(mark="W2000").length == Length.of_mm(2500)
    address = Delivery.objects.get().get_absolute_url()
    first, last = owner_client.get(address), owner_client.get(address, {"page": "20"})
    assert first.context["view"].totals.boards == last.context["view"].totals.boards == 2000
    assert ["/rack/W100/" in page.content.decode() for page in (first, last)] == [True, False]
    assert ["/rack/W1901/" in page.content.decode() for page in (first, last)] == [False, True]


def test_the_heads_of_a_delivery_s_table_are_plain_words(woods, owner, owner_client):
    first = booked(owner, supplier("Millrace Yard"))
    rows = tables.read(table_of(owner_client, first))
    assert len(rows) == 8 and rows[0]["thickness mm"] == "31.75" and rows[0]["measured mm"] == "30.000001"
    assert rows[0]["grade"] == "=FAS" and rows[0]["line cost EUR"] and rows[0]["place"] == "loft; left"
    page = owner_client.get(first.get_absolute_url()).content.decode()
    assert reverse("lumber:delivery_csv", args=[first.pk]) in page


def test_a_helper_gets_no_delivery_s_table(woods, owner, helper_client):
    first = booked(owner, supplier("Millrace Yard"))
    assert helper_client.get(reverse("lumber:delivery_csv", args=[first.pk])).status_code == 403
    assert helper_client.get(reverse("lumber:buy_table")).status_code == 403


@given(st.text("'=+-@\t aZ1", min_size=1, max_size=8).filter(lambda text: text == text.strip()))
def test_whatever_a_cell_begins_with_comes_back_as_it_was(text):
    assert bare_text(tables.safe(text)) == text
