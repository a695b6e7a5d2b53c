"""What is wanted of a price may be said three ways: a share of it, a share of the cost, or money."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.pricing import (
    Fee,
    NoPrice,
    PricingError,
    Target,
    Terms,
    margin_of_markup,
    markup_of_margin,
    price_for,
    settle,
    terms_for,
)

SALES = json.loads((Path(__file__).parents[2] / "reference" / "worked-prices.json").read_text())["sales"]
PLAIN = {sale["id"]: sale for sale in SALES}
C = Decimal(120)
shares = st.fractions(0, Fraction(99, 100), max_denominator=10_000)


@pytest.mark.parametrize(
    ("target", "worked"),
    [
        (Target("margin", Fraction(40, 100)), "E1"),
        (Target("markup", Fraction(40, 100)), "E2"),
        (Target("profit", Fraction(48)), "E2"),
    ],
)
def test_the_three_ways_give_the_prices_worked_out_apart_and_both_shares_are_told(target, worked):
    terms = terms_for(target, C, Terms())
    price = price_for(C, terms)
    deal = settle(price, C, terms)
    assert str(price) == PLAIN[worked]["price"]
    assert float(deal.margin) == pytest.approx(float(PLAIN[worked]["settled"]["margin"]))
    assert float(deal.markup) == pytest.approx(float(PLAIN[worked]["settled"]["markup"]))


@settings(deadline=None)
@given(shares)
def test_margin_and_markup_turn_into_one_another_and_back(share):
    assert margin_of_markup(markup_of_margin(share)) == share
    assert markup_of_margin(margin_of_markup(share * 10)) == share * 10


@settings(deadline=None)
@given(shares, st.integers(1, 100_000).map(lambda n: Decimal(n) / 100))
def test_without_fees_a_margin_and_its_markup_ask_the_same_price_to_a_cent(margin, cost):
    by_margin = price_for(cost, terms_for(Target("margin", margin), cost, Terms()))
    by_markup = price_for(cost, terms_for(Target("markup", markup_of_margin(margin)), cost, Terms()))
    assert abs(by_margin - by_markup) <= Decimal("0.01")


def test_beside_fees_a_markup_is_still_a_share_of_the_cost_and_its_margin_is_less():
    terms = terms_for(Target("markup", Fraction(1, 2)), C, Terms((Fee(Fraction(1, 10)),)))
    deal = settle(price_for(C, terms), C, terms)
    # By hand: 180 ÷ 0.9 is 200.00; 60 of it are half of 120 and three tenths of 200.
    assert (deal.list_price, deal.markup, deal.margin) == (Decimal("200.00"), Fraction(1, 2), Fraction(3, 10))


def test_a_markup_that_is_no_whole_coin_is_asked_up_to_the_next():
    # By hand: a third of 100.00 is 33.333..., and 33.33 would be less than asked.
    terms = terms_for(Target("markup", Fraction(1, 3)), Decimal("100.00"), Terms())
    assert terms.profit == Decimal("33.34")
    assert terms_for(Target("markup", Fraction(1, 3)), Decimal(100), Terms(exponent=0)).profit == Decimal(34)


def test_one_target_takes_the_place_of_another():
    terms = Terms(margin=Fraction(1, 4), profit=Decimal(5))
    assert terms_for(Target("profit", Fraction(8)), C, terms).margin == 0
    assert terms_for(Target("margin", Fraction(1, 5)), C, terms).profit == 0


def test_a_margin_of_everything_has_no_markup():
    with pytest.raises(NoPrice) as refused:
        markup_of_margin(Fraction(1))
    assert refused.value.field == "margin"


@pytest.mark.parametrize(
    ("ask", "field"),
    [
        (lambda: terms_for(Target("mark", Fraction(1)), C, Terms()), "target"),
        (lambda: terms_for(Target("markup", Fraction(-1)), C, Terms()), "markup"),
        (lambda: margin_of_markup(Fraction(-1, 10)), "markup"),
        (lambda: markup_of_margin(Fraction(-1, 10)), "margin"),
    ],
)
def test_what_nobody_can_want_is_named(ask, field):
    with pytest.raises(PricingError) as refused:
        ask()
    assert refused.value.field == field and refused.value.mend
