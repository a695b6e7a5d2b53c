"""Prices worked out apart from the planner, to the cent (tests/reference/worked-prices.json)."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from planner.pricing import Fee, NoPrice, Terms, break_even, closed_form, price_for, settle, wage

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-prices.json").read_text())
SELLING = json.loads((Path(__file__).parents[2] / "reference" / "worked-selling.json").read_text())
SALES = {sale["id"]: sale for sale in WORKED["sales"]}
BOARD = WORKED["board"]
TWO_FEES = (Fee(Fraction("0.065"), name="marketplace"), Fee(Fraction("0.03"), Decimal("0.30"), name="card"))
# The board of the long example: carriage charged as paid, two fees with a fixed part each, a tenth to keep.
BOARD_TERMS = Terms(
    (Fee(Fraction("0.065"), Decimal("0.20")), Fee(Fraction("0.03"), Decimal("0.30"))),
    margin=Fraction(1, 10),
    carriage_paid=Decimal(14),
    carriage_charged=Decimal(14),
)
BOARD_COST = Decimal(BOARD["cost"])


def terms_of(sale):
    fees = tuple(
        Fee(Fraction(f["percent"]), Decimal(f["fixed"]), on_carriage=f["on_carriage"], on_tax=f["on_tax"])
        for f in sale["fees"]
    )
    return Terms(
        fees,
        tax=Fraction(sale["tax"]),
        tax_included=sale["tax_included"],
        margin=Fraction(sale["margin"]),
        profit=Decimal(sale["profit"]),
        carriage_paid=Decimal(sale["carriage_paid"]),
        carriage_charged=Decimal(sale["carriage_charged"]),
        ending=None if sale["ending"] is None else Decimal(sale["ending"]),
    )


@pytest.mark.parametrize("sale", SALES.values(), ids=SALES)
def test_the_smallest_price_is_the_one_worked_out_apart(sale):
    price = price_for(Decimal(sale["cost"]), terms_of(sale))
    assert str(price) == sale["price"]


@pytest.mark.parametrize("sale", SALES.values(), ids=SALES)
def test_the_price_were_nothing_rounded_is_the_one_worked_out_apart(sale):
    assert closed_form(Decimal(sale["cost"]), terms_of(sale)) == Fraction(sale["closed_form"])


@pytest.mark.parametrize("sale", SALES.values(), ids=SALES)
def test_the_sale_settles_line_by_line_as_worked_out_apart(sale):
    deal = settle(Decimal(sale["price"]), Decimal(sale["cost"]), terms_of(sale))
    worked = sale["settled"]
    assert str(deal.tax) == worked["tax"]
    assert str(deal.buyer_pays) == worked["buyer_pays"]
    assert [str(fee) for fee in deal.fees] == worked["fees"]
    assert str(deal.proceeds) == worked["proceeds"]
    assert str(deal.profit) == worked["profit"]
    assert float(deal.margin) == pytest.approx(float(worked["margin"]), abs=1e-15)
    assert float(deal.markup) == pytest.approx(float(worked["markup"]), abs=1e-15)


def test_breaking_even_on_a_sale_with_carriage_charged():
    assert break_even(Decimal(120), terms_of(SALES["E4"])) == Decimal("134.19")


def test_fees_and_margin_of_a_hundred_per_cent_leave_no_price_and_a_per_cent_less_leaves_one():
    fees = (Fee(Fraction(15, 100), name="marketplace"), Fee(Fraction(3, 100), name="card"))
    with pytest.raises(NoPrice):
        price_for(Decimal(100), Terms(fees, margin=Fraction(82, 100)))
    # 100 ÷ 0.01 is 10,000 exactly; the roundings of two fees let 84 cents less pass.
    assert price_for(Decimal(100), Terms(fees, margin=Fraction(81, 100))) == Decimal("9999.16")


def test_what_an_hour_earns_with_75_of_labour_in_the_cost_and_five_hours():
    terms = terms_of(SALES["E8"])
    assert wage(Decimal("189.00"), Decimal(45), Fraction(5), terms) == Decimal("24.92")
    # Exactly 12.432.
    assert wage(Decimal("120.00"), Decimal(45), Fraction(5), terms) == Decimal("12.43")


def test_the_whole_board_is_priced_settled_and_rounded_up_to_its_ending():
    price = price_for(BOARD_COST, BOARD_TERMS)
    deal = settle(price, BOARD_COST, BOARD_TERMS)
    assert closed_form(BOARD_COST, BOARD_TERMS) == Fraction(BOARD["closed_form"])
    assert str(price) == BOARD["price"]
    assert [str(fee) for fee in deal.fees] == BOARD["fees_at_price"]
    assert str(deal.profit) == BOARD["profit_at_price"]
    nine = Terms(**{f: getattr(BOARD_TERMS, f) for f in BOARD_TERMS.__slots__} | {"ending": Decimal("9.00")})
    ending = price_for(BOARD_COST, nine)
    assert str(ending) == BOARD["price_ending_9"]
    assert str(settle(ending, BOARD_COST, nine).profit) == BOARD["profit_at_ending_9"]


def test_at_the_break_even_price_an_hour_earns_the_rate_that_is_in_the_cost():
    unpaid = BOARD_COST - Decimal("210.00")
    hours = Fraction("10.5")
    assert str(wage(Decimal("379.00"), unpaid, hours, BOARD_TERMS)) == BOARD["hour_at_ending_9"]
    even = break_even(BOARD_COST, BOARD_TERMS)
    assert str(even) == BOARD["break_even"]
    assert str(wage(even, unpaid, hours, BOARD_TERMS)) == BOARD["hour_at_break_even"] == "20.00"


def test_a_friend_at_a_fifth_off_costs_the_maker_some_of_the_hour():
    price = Decimal("379.00") * Decimal("0.80")
    assert str(price.quantize(Decimal("0.01"))) == BOARD["friend_price"]
    assert str(settle(price, BOARD_COST, BOARD_TERMS).profit) == BOARD["friend_profit"]
    unpaid = BOARD_COST - Decimal("210.00")
    assert str(wage(price, unpaid, Fraction("10.5"), BOARD_TERMS)) == BOARD["friend_hour"]
    assert str(break_even(unpaid, BOARD_TERMS)) == BOARD["unpaid_floor"]


@pytest.mark.parametrize("limit", ["minimum", "cap"])
def test_a_fee_with_a_minimum_or_a_cap_takes_it_where_its_share_would_be_less_or_more(limit):
    worked = SELLING[limit]
    terms = Terms(
        (Fee(Fraction(worked["percent"]), **{limit: Decimal(worked[limit])}),), profit=Decimal(worked["profit"])
    )
    price = price_for(Decimal(worked["cost"]), terms)
    deal = settle(price, Decimal(worked["cost"]), terms)
    assert (str(price), str(deal.fees[0]), deal.profit) == (worked["price"], worked["fee"], Decimal(worked["profit"]))


@pytest.mark.parametrize("markup, margin", [("0.4", "2/7"), ("2/3", "0.4"), ("1", "0.5")])
def test_markup_on_cost_and_margin_on_price_say_the_same_in_two_ways(markup, margin):
    # margin = markup ÷ (1 + markup), the usual definitions; 40 % markup on 120 is 168, 40 % margin is 200.
    assert Fraction(margin) == Fraction(markup) / (1 + Fraction(markup))
    price = price_for(Decimal(120), Terms(margin=Fraction(margin)))
    deal = settle(price, Decimal(120), Terms())
    assert (deal.margin, deal.markup) == (Fraction(margin), Fraction(markup))
