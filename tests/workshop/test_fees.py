"""The fees of the channel: rows that are filled and emptied, and never a price that could not exist."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from django.urls import reverse

from planner.pricing import Target, price_for, terms_for
from shopapp.common.models import AuditLine
from shopapp.workshop.planning import terms_of
from shopapp.workshop.readers import the_workshop
from shopapp.workshop.selling import MOST_FEES
from tests.workshop.test_settings import send


def fee(row: int, name: str, percent: str = "", fixed: str = "") -> dict[str, str]:
    return {f"fee_{row}_name": name, f"fee_{row}_percent": percent, f"fee_{row}_fixed": fixed}


def named() -> list[str]:
    return [fee.name for fee in terms_of(the_workshop()).fees]


def test_fees_go_on_to_the_planner_as_they_were_typed(owner_client):
    fee = {"fee_0_name": "stall", "fee_0_percent": "6.5", "fee_0_fixed": "0.20", "fee_0_on_carriage": "on"}
    assert send(owner_client, "selling", **fee).status_code == 302
    (made,) = terms_of(the_workshop()).fees
    assert (made.name, made.percent, made.fixed, made.on_carriage, made.on_tax) == (
        "stall", Fraction(65, 1000), Decimal("0.20"), True, False
    )  # fmt: skip


def test_fees_are_added_in_any_empty_row_and_taken_away_by_emptying_theirs(owner_client):
    send(owner_client, "selling", **fee(0, "stall", "6"), **fee(1, "card", "2"), **fee(5, "parcel label", "", "0.30"))
    assert named() == ["stall", "card", "parcel label"]
    send(owner_client, "selling", **fee(0, ""))
    assert named() == ["card", "parcel label"]


def test_as_many_fees_as_there_are_rows_are_kept_and_sent_back_untouched_stay(owner_client):
    rows = {}
    for row in range(MOST_FEES):
        rows |= fee(row, f"fee {row}", "1")
    send(owner_client, "selling", margin="10", **rows)
    lines = AuditLine.objects.count()
    send(owner_client, "selling")
    assert len(named()) == MOST_FEES
    assert AuditLine.objects.count() == lines


def test_every_row_of_fees_stands_in_the_form_once_without_a_script(owner_client):
    send(owner_client, "selling", **fee(0, "stall", "6"))
    body = owner_client.get(reverse("workshop:section", args=["selling"])).content.decode()
    assert sorted(re.findall(r'name="fee_(\d)_name"', body)) == [str(row) for row in range(MOST_FEES)]
    folded = body[body.index("<details>") :]
    assert re.findall(r'name="fee_(\d)_name"', folded) == [str(row) for row in range(2, MOST_FEES)]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (fee(0, "stall", "100"), "margin"),
        (fee(0, "stall", "80") | {"margin": "20"}, "margin"),
        (fee(0, "stall", "72") | {"margin": "10", "tax": "25", "fee_0_on_tax": "on"}, "margin"),
        (fee(0, "stall"), "fee_0_percent"),
        (fee(7, "", "3"), "fee_7_name"),
    ],
)
def test_fees_that_leave_no_price_or_say_too_little_are_refused_beside_their_field(owner_client, typed, field):
    answer = send(owner_client, "selling", **typed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert named() == []


def test_a_fee_taken_on_the_tax_too_weighs_more(owner_client):
    # 15 % taken on the tax of a quarter weighs 18.75 %; with a margin of 82 % nothing is left of the price.
    typed = fee(0, "stall", "15") | {"margin": "82", "tax": "25"}
    assert send(owner_client, "selling", **typed, fee_0_on_tax="on").status_code == 422
    assert send(owner_client, "selling", **typed).status_code == 302


def test_little_left_of_the_price_is_said_and_kept(owner_client):
    answer = owner_client.get(
        send(owner_client, "selling", **fee(0, "stall", "15"), margin="80").url,
    )
    assert "leave 5 % of the price" in answer.content.decode()
    page = owner_client.get(reverse("workshop:section", args=["selling"])).content.decode()
    assert "leave 5 % of the price" in page


@pytest.mark.django_db
def test_one_sale_may_ask_another_margin_and_the_rest_of_the_terms_stay():
    usual, asked = terms_of(the_workshop()), terms_of(the_workshop(), Fraction(1, 3))
    assert (usual.margin, asked.margin) == (Fraction(1, 5), Fraction(1, 3))
    assert terms_of(the_workshop(), Fraction(0)).margin == 0
    assert (asked.tax, asked.fees, asked.ending) == (usual.tax, usual.fees, usual.ending)


def test_a_fee_s_minimum_and_cap_go_on_to_the_planner_and_are_told(owner_client):
    send(owner_client, "selling", **fee(0, "stall", "10"), fee_0_minimum="5", fee_0_cap="12.50")
    (made,) = terms_of(the_workshop()).fees
    assert (made.minimum, made.cap) == (Decimal(5), Decimal("12.50"))
    assert "10 % and at least € 5.00 and at most € 12.50" in AuditLine.objects.latest("pk").what


def test_a_minimum_of_ten_percent_and_a_cap_make_the_prices_worked_by_hand(owner_client):
    """C 30, 10 % at least 5.00, 6.00 to keep: 41.00. C 150, 10 % at most 10.00, 30.00 to keep: 190.00."""
    send(owner_client, "selling", **fee(0, "stall", "10"), fee_0_minimum="5", fee_0_on_carriage="", ending="")
    found = price_for(Decimal(30), terms_for(Target("profit", Fraction(6)), Decimal(30), terms_of(the_workshop())))
    assert found == Decimal("41.00")
    send(owner_client, "selling", fee_0_minimum="", fee_0_cap="10")
    found = price_for(Decimal(150), terms_for(Target("profit", Fraction(30)), Decimal(150), terms_of(the_workshop())))
    assert found == Decimal("190.00")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"fee_0_name": "stall", "fee_0_minimum": "9", "fee_0_cap": "4"}, "fee_0_cap"),
        ({"fee_0_minimum": "9"}, "fee_0_name"),
        ({"fee_0_name": "stall", "fee_0_cap": "4"}, "fee_0_percent"),
        ({"asks": "alms"}, "asks"),
        ({"markup": "-3"}, "markup"),
        ({"friends": "101"}, "friends"),
        ({"profit": "x"}, "profit"),
    ],
)
def test_what_is_asked_and_limits_that_cannot_be_are_refused_beside_their_field(owner_client, typed, field):
    answer = send(owner_client, "selling", **typed)
    assert answer.status_code == 422 and list(answer.context["form"].errors) == [field]


def test_no_price_exists_names_every_share(owner_client):
    answer = send(owner_client, "selling", **fee(0, "stall", "80"), **fee(1, "card", "5"), margin="15")
    words = str(answer.context["form"].errors["margin"][0])
    assert "No price exists: 80 % stall + 5 % card + 15 % margin take 100 % of it" in words


def test_where_a_markup_is_asked_the_margin_does_not_stand_in_the_way_of_a_price(owner_client):
    assert send(owner_client, "selling", **fee(0, "stall", "10"), margin="95", asks="markup").status_code == 302
    answer = send(owner_client, "selling", fee_0_percent="100")
    assert list(answer.context["form"].errors) == ["fee_0_percent"]


def test_margin_and_markup_are_both_said_whichever_is_asked(owner_client):
    """A margin of 40 % is a markup of 66.67 %, a markup of 40 % a margin of 28.57 % (the definitions)."""
    send(owner_client, "selling", margin="40", markup="40")
    body = owner_client.get(reverse("workshop:section", args=["selling"])).content.decode()
    assert "66.67 % on its cost" in body and "28.57 % of the price" in body
