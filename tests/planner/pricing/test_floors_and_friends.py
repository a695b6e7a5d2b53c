"""Below which price what is lost; what a friend's price and a gift cost the maker."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.figures import Figure
from planner.pricing import (
    Fee,
    HardwareCost,
    PricingError,
    Terms,
    WoodCost,
    break_even,
    cash_floor,
    cost_lines,
    friendly,
    gift,
    hours_of,
    labour_of,
    price_for,
    settle,
    wage_at,
)
from tests.planner.pricing.board import HOURS, RATES, TERMS, cost_of

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-selling.json").read_text())
FRIEND, GIFT = WORKED["friend"], WORKED["gift"]
D = Decimal


def test_the_cash_floor_covers_everything_but_the_hours():
    assert str(cash_floor(cost_of(), TERMS)) == FRIEND["floor"]
    # The hours are unpaid there to within a cent of rounding over ten and a half of them.
    assert wage_at(cash_floor(cost_of(), TERMS), cost_of(), TERMS, HOURS) == D("0.00")


def test_a_friends_price_is_told_with_its_hour_its_loss_and_its_floor():
    found = friendly(D(FRIEND["list"]), Fraction(FRIEND["off"]), cost_of(), TERMS, HOURS)
    assert (str(found.price), str(found.wage), str(found.profit)) == (
        FRIEND["price"],
        FRIEND["hour"],
        FRIEND["profit"],
    )
    assert found.loss_against_list == D(FRIEND["profit_at_list"]) - D(FRIEND["profit"])
    assert (str(found.floor), found.below_floor) == (FRIEND["floor"], False)


def test_a_friends_price_below_the_floor_is_said_to_be():
    found = friendly(D(FRIEND["list"]), Fraction(3, 4), cost_of(), TERMS, HOURS)
    assert found.price == D("94.75") and found.below_floor and found.wage < 0
    at_floor = friendly(found.floor, Fraction(0), cost_of(), TERMS, HOURS)
    assert not at_floor.below_floor and at_floor.loss_against_list == 0


def test_nothing_off_is_the_list_price_and_everything_off_is_nought():
    assert friendly(D("379.00"), Fraction(0), cost_of(), TERMS, HOURS).price == D("379.00")
    assert friendly(D("379.00"), Fraction(1), cost_of(), TERMS, HOURS).price == D("0.00")
    for off in (Fraction(-1, 100), Fraction(101, 100)):
        with pytest.raises(PricingError) as refused:
            friendly(D("379.00"), off, cost_of(), TERMS, HOURS)
        assert refused.value.field == "discount"


def test_a_gift_costs_what_is_paid_out_and_its_hours_are_told_unpaid():
    found = gift(cost_of(), D(GIFT["carriage"]))
    assert (str(found.cash), found.unpaid_hours, str(found.unpaid)) == (
        GIFT["cash"],
        Fraction(GIFT["unpaid_hours"]),
        GIFT["unpaid"],
    )
    assert [line.name for line in found.lines] == [
        "walnut", "maple", "cherry", "Glue", "Abrasives", "Finish", "Packaging", "Carriage",
    ]  # fmt: skip
    assert sum(line.money for line in found.lines) == found.cash


def test_a_gift_handed_over_has_no_carriage_and_none_is_below_nought():
    assert gift(cost_of()).cash == D(GIFT["cash"]) - D(GIFT["carriage"])
    with pytest.raises(PricingError):
        gift(cost_of(), D("-1.00"))


def test_hardware_is_paid_out_too():
    with_hangers = cost_of(hardware=[HardwareCost("Hanger", 2, D("1.20"))])
    assert gift(with_hangers).cash == gift(cost_of()).cash + D("2.40")
    assert [line.kind for line in cost_lines(with_hangers)].count("hardware") == 1


def test_without_hours_no_wage_is_told():
    assert wage_at(D("379.00"), cost_of(), TERMS, Fraction(0)) is None
    assert friendly(D("379.00"), Fraction(1, 5), cost_of(), TERMS, Fraction(0)).wage is None


@settings(max_examples=60, deadline=None)
@given(
    st.integers(100, 9000).map(lambda n: D(n) / 100),
    st.lists(st.integers(0, 1500).map(lambda n: Fee(Fraction(n, 10_000), D("0.25"))), max_size=3).map(tuple),
    st.integers(0, 3000).map(lambda n: D(n) / 100),
)
def test_at_the_break_even_price_an_hour_earns_the_makers_own_rate(hour, fees, carriage):
    """To the cent an hour: the price is a cent or two too much at most, shared among ten and a half hours."""
    cost = cost_of(rates=replace(RATES, hour=hour))
    terms = Terms(fees, carriage_paid=carriage, carriage_charged=carriage)
    earned = wage_at(break_even(cost.value, terms), cost, terms, hours_of(cost))
    assert hour <= earned <= hour + D("0.01")


@pytest.mark.parametrize("copies", [1, 2, 3, 7])
def test_the_lines_of_one_board_of_several_add_up_to_its_cost(copies):
    cost = cost_of(copies)
    lines = cost_lines(cost)
    assert sum(line.money for line in lines) == cost.value
    assert hours_of(cost) == HOURS
    assert labour_of(cost) == D("210.00")


def test_a_share_that_does_not_come_out_even_is_dealt_out_to_the_cent():
    # 33.34 of hardware among three boards: 11.11, 11.11 and 11.12; the cost of one still adds up.
    cost = cost_of(3, hardware=[HardwareCost("Hanger", 1, D("33.34"))])
    assert sum(line.money for line in cost_lines(cost)) == cost.value
    (hanger,) = (line.money for line in cost_lines(cost) if line.kind == "hardware")
    assert hanger in (D("11.11"), D("11.12"))


def test_a_wood_may_be_called_what_a_line_is_called():
    woods = [WoodCost(name, Fraction(1), "bf", D(7)) for name in ("Labour", "Hardware", "Packaging", "Glue")]
    lines = cost_lines(cost_of(woods=woods))
    assert [line.kind for line in lines[:5]] == ["wood"] * 4 + ["supplies"]
    assert labour_of(cost_of(woods=woods)) == D("210.00")


def test_a_figure_that_is_no_cost_of_a_board_is_refused():
    for figure in (Figure(D("5.00"), "money", "as set"), Figure(Fraction(5), "h", "counted")):
        with pytest.raises(PricingError) as refused:
            cost_lines(figure)
        assert refused.value.field == "cost"


def test_a_kept_figure_is_read_like_the_one_it_was_kept_of():
    cost = cost_of(2)
    assert cost_lines(Figure.from_record(json.loads(json.dumps(cost.as_record())))) == cost_lines(cost)


def test_margin_tax_and_ending_do_not_move_the_floors():
    moved = replace(TERMS, margin=Fraction(4, 10), ending=D("9.00"), profit=D(50))
    assert cash_floor(cost_of(), moved) == cash_floor(cost_of(), TERMS)
    assert price_for(cost_of().value, moved) > settle(D("379.00"), cost_of().value, TERMS).list_price
