"""A delivery is typed board after board; nothing is in the book before it is booked, and then all of it is."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.measures import Length
from shopapp.lumber.models import Delivery, Lot, StockEntry, StockPiece
from shopapp.lumber.stock.checks import pieces_that_are_not_their_moves, worth_that_came_or_went_unseen
from tests.support.bought import Buying
from tests.support.rack import supplier
from tests.support.shop import add_woods

FINER_THAN_THE_BOOK_KEEPS = {
    **dict.fromkeys(("thickness", "width", "length"), "999999.999989"),
    **{"longer": "on", "per": "piece", "count": "1999"},
}


@pytest.fixture
def buying(owner_client):
    add_woods("walnut-black", "padauk")
    return Buying(owner_client, supplier("Millrace Yard", rule="surface"))


def test_an_added_board_is_listed_and_its_values_stand_ready_for_the_next(buying):
    answer = buying.press("add", thickness="8/4", width='6 1/4"', length="8 ft", place="loft", surfaced="on")
    assert answer.status_code == 200 and not answer.context["form"].errors
    form = answer.context["form"]
    ready = [form[name].value() for name in ("thickness", "width", "length", "price", "place", "surfaced")]
    assert ready == ["8/4", '6 1/4"', "8 ft", "12", "loft", "on"]
    assert StockPiece.objects.count() == 0 and Delivery.objects.count() == 0


def test_paid_and_there_stand_side_by_side_as_published_for_a_board_of_8_4(buying):
    # A 2 in board of 6 1/4 in by 8 ft: 4 1/6 square feet, surface measure 4, 8 board feet
    # (American hardwood surface measure: americanhardwood.org, "Measurement").
    answer = buying.press("add", thickness="8/4", width='6 1/4"', length="8 ft")
    (line,) = answer.context["lines"]
    assert (line.paid, line.there, line.cost) == (8, Fraction(25, 3), Decimal("96.00"))
    body = answer.content.decode()
    assert "paid 8.00\u00a0bf" in body and "there 8.33\u00a0bf" in body


def test_the_running_cost_shares_carriage_and_holds_every_line(buying):
    buying.facts["carriage"] = "7.00"
    buying.press("add", per="piece", price="10", count="3")
    answer = buying.press("add", wood="padauk", count="1")
    totals = answer.context["totals"]
    assert (totals.boards, totals.carriage, totals.cost) == (4, Decimal("7.00"), Decimal("47.00"))


def test_a_line_is_taken_away_again_whatever_is_being_written(buying):
    buying.press("add")
    buying.press("add", wood="padauk")
    answer = buying.press("remove:1", width="wide")
    assert [line.wood.wood for line in answer.context["lines"]] == ["padauk"]
    assert answer.context["form"]["width"].value() == "wide" and answer.status_code == 200


def test_one_press_books_the_whole_delivery_and_every_board_has_a_mark(buying):
    buying.press("add", thickness="5/4", measured="30", grade="FAS", cut="quartered", place="loft", count="2")
    buying.press("add", wood="padauk", count="1", per="kg", price="3.5", mass="10", measured="")
    answer = buying.press("book")
    delivery = Delivery.objects.get()
    assert answer.status_code == 302 and answer.url == delivery.get_absolute_url()
    assert list(StockPiece.objects.order_by("pk").values_list("mark", flat=True)) == ["W1", "W2", "P3"]
    walnut, padauk = Lot.objects.order_by("number")
    assert (walnut.nominal_thickness, walnut.thickness) == (Length.of_inches("5/4"), Length.of_mm(30))
    assert (walnut.grade, walnut.cut, walnut.surfaced, padauk.goods) == ("FAS", "quartered", False, Decimal("35"))
    assert StockPiece.objects.filter(place="loft").count() == 3
    assert pieces_that_are_not_their_moves() == [] and worth_that_came_or_went_unseen() == []
    page = buying.client.get(answer.url).content.decode()
    assert "5/4 (30\u00a0mm) × 150 × 2000\u00a0mm" in page and "quartered" in page and "/woods/rack/W2/" in page


def test_booked_twice_it_is_in_the_book_once(buying):
    buying.press("add")
    hidden = dict(buying.hidden)
    buying.press("book")
    buying.hidden = hidden
    assert buying.press("book").url == reverse("lumber:deliveries")
    assert Delivery.objects.count() == 1


def test_a_press_that_comes_twice_adds_one_board(buying):
    before = dict(buying.hidden)
    buying.press("add")
    buying.hidden = before
    assert len(buying.press("add").context["lines"]) == 1


def test_a_board_written_and_not_added_is_not_lost_without_a_word(buying):
    buying.press("add")
    answer = buying.press("book", width="175")
    assert answer.status_code == 422 and "not added yet" in answer.content.decode()
    assert Delivery.objects.count() == 0 and answer.context["form"]["width"].value() == "175"
    assert buying.press("book", width="", length="").status_code == 302


def test_a_cost_that_was_never_shown_is_shown_before_it_is_booked(buying):
    buying.press("add")
    buying.facts["carriage"] = "20"
    answer = buying.press("book")
    assert answer.status_code == 422 and "reckoned anew" in answer.content.decode()
    assert buying.press("book").status_code == 302
    assert Lot.objects.get().carriage == 20


def test_a_price_of_nothing_is_asked_and_booked_as_a_gift(buying):
    answer = buying.press("add", price="0")
    assert "tick that it was a gift" in answer.context["form"].errors["price"][0]
    assert 'name="gift"' in answer.content.decode()
    buying.press("add", gift="on")
    assert buying.press("book").status_code == 302
    assert StockPiece.objects.get().worth == 0


def test_a_board_longer_than_ten_metres_is_asked_and_not_refused(buying):
    answer = buying.press("add", length="10.5 m")
    assert "longer than 10 m" in answer.context["form"].errors["length"][0]
    assert len(buying.press("add", longer="on").context["lines"]) == 1


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"width": "0"}, "width"),
        ({"width": "1,234"}, "width"),
        ({"length": "NaN"}, "length"),
        ({"price": "1,234"}, "price"),
        ({"price": "-3"}, "price"),
        ({"count": "0"}, "count"),
        ({"thickness": "1/4"}, "thickness"),
        ({"wood": "plastic"}, "wood"),
        ({"per": "kg"}, "mass"),
        ({"length": "200"}, None),  # shorter than a foot, and this seller counts whole feet
        ({"price": "99999999", "count": "2000"}, None),  # more than the book can hold
        (FINER_THAN_THE_BOOK_KEEPS, None),
    ],
)
def test_what_cannot_be_is_said_and_the_boards_so_far_stay(buying, changes, field):
    buying.press("add")
    answer = buying.press("add", **changes)
    assert answer.status_code == 422
    assert answer.context["form"].errors[field or "__all__"]
    assert len(json.loads(buying.hidden["lines"])) == 1
    assert all(answer.context["form"].data[name] == typed for name, typed in changes.items())


@pytest.mark.parametrize("lines", ["[", "3", "[3]", '[{"wood": "walnut-black"}]', "[" * 50_000, "[{}]", "null"])
def test_lines_that_were_tampered_with_are_refused_in_words(buying, lines):
    buying.hidden["lines"] = lines
    answer = buying.press("book")
    assert answer.status_code == 422 and "Add them again" in answer.content.decode()
    assert Delivery.objects.count() == 0


def test_a_delivery_is_undone_whole_or_not_at_all(buying, owner):
    buying.press("add", count="2")
    buying.press("book")
    address = reverse("lumber:undo_delivery", args=[Delivery.objects.get().pk])
    buying.client.post(address, {"form_key": "u" * 30})
    assert set(StockPiece.objects.values_list("state", flat=True)) == {"undone"}
    page = buying.client.get(Delivery.objects.get().get_absolute_url()).content.decode()
    assert "None of these boards is on the rack" in page and "Undo the whole delivery" not in page
    assert "undone" in buying.client.get(reverse("lumber:deliveries")).content.decode()
    buying.client.post(address, {"form_key": "v" * 30})
    assert StockEntry.objects.count() == 2


def test_without_a_supplier_the_page_says_what_comes_first(owner_client):
    assert "Say first whom you buy from" in owner_client.get(reverse("lumber:buy")).content.decode()
