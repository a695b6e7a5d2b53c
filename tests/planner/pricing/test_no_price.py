"""Where no price exists the maker is told which shares take it all; rates nothing can be done with are named."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from planner.pricing import Fee, NoPrice, PricingError, Rates, Terms, made_cost, price_for, price_warning, settle

EDGES = json.loads((Path(__file__).parents[2] / "reference" / "worked-selling.json").read_text())["edges"]
MARKET = Fee(Fraction(15, 100), name="marketplace")
CARD = Fee(Fraction(3, 100), name="card")


def test_the_shares_that_add_up_are_named_with_their_sum():
    with pytest.raises(NoPrice) as refusal:
        price_for(Decimal(100), Terms((MARKET, CARD), margin=Fraction(82, 100)))
    assert refusal.value.what == (
        "No price exists: 15 % marketplace + 3 % card + 82 % margin take 100 % of it, "
        "which leaves nothing for the cost."
    )
    assert refusal.value.mend == "Ask a smaller margin, or sell where the fees are lower."
    assert refusal.value.field == "margin"


def test_a_fee_taken_on_the_tax_too_weighs_more_than_its_percentage():
    # 15 % × 1.25 + 82 % is more than all; 15 % + 82 % would leave 3 %.
    taxed = Terms((Fee(Fraction(15, 100), on_tax=True, name="card"),), tax=Fraction(1, 4), margin=Fraction(82, 100))
    with pytest.raises(NoPrice, match=r"18\.75 % card \+ 82 % margin take 100\.75 % of it"):
        price_for(Decimal(100), taxed)
    untaxed = Terms((Fee(Fraction(15, 100), name="card"),), tax=Fraction(1, 4), margin=Fraction(82, 100))
    assert price_for(Decimal(100), untaxed) > 3000


def test_the_worked_edges_between_a_price_and_none():
    fees = (Fee(Fraction(EDGES["fees"][0]), name="marketplace"), Fee(Fraction(EDGES["fees"][1]), name="card"))
    cost, none = Decimal(EDGES["cost"]), Fraction(EDGES["margin_that_leaves_nothing"])
    with pytest.raises(NoPrice):
        price_for(cost, Terms(fees, margin=none))
    thin = Terms(fees, margin=Fraction(EDGES["margin_that_leaves_a_hundredth"]))
    assert str(price_for(cost, thin)) == EDGES["price_there"]
    # Far below nought it is said alike.
    with pytest.raises(NoPrice, match=r"take 217 % of it, which leaves nothing"):
        price_for(cost, Terms(fees, margin=Fraction(199, 100)))


def test_a_minimum_alone_never_keeps_a_price_from_existing():
    assert price_for(Decimal(30), Terms((Fee(minimum=Decimal("5.00")),))) == Decimal("35.00")


def test_a_cap_below_the_minimum_is_what_is_taken():
    # Nobody writes that on purpose; the cap is the last word.
    both = Fee(Fraction(1, 10), minimum=Decimal("5.00"), cap=Decimal("3.00"))
    assert settle(Decimal("100.00"), Decimal(0), Terms((both,))).fees == (Decimal("3.00"),)


def test_a_minimum_finer_than_a_coin_is_taken_in_whole_coins():
    # As the settings keep it, with four decimals.
    fees = (Fee(Fraction(1, 10), minimum=Decimal("5.0050")), Fee(Fraction(1, 10), cap=Decimal("3.0000")))
    assert [str(fee) for fee in settle(Decimal("40.00"), Decimal(0), Terms(fees)).fees] == ["5.01", "3.00"]


def test_fees_of_a_hundred_per_cent_are_the_fees_fault_when_no_margin_is_asked():
    with pytest.raises(NoPrice, match="100 % broker takes 100 % of it") as refusal:
        price_for(Decimal(100), Terms((Fee(Fraction(1), name="broker"),), profit=Decimal(20)))
    assert (refusal.value.field, refusal.value.mend) == ("fees", "Sell where the fees are lower.")


def test_a_share_too_thin_to_carry_any_cost_is_refused_rather_than_searched_for_ever():
    with pytest.raises(NoPrice, match=r"all but 0\.0001 % of it, which leaves too little"):
        price_for(Decimal(100), Terms((MARKET,), margin=Fraction(849_999, 1_000_000)))


def test_a_thin_share_is_priced_with_a_warning_and_a_fair_one_without():
    terms = Terms((MARKET, CARD), margin=Fraction(80, 100))
    assert price_for(Decimal(100), terms) > 4000
    assert "only 0.02 is left" in price_warning(terms)
    assert price_warning(Terms((MARKET,), margin=Fraction(25, 100))) == ""


@pytest.mark.parametrize(
    "terms, field",
    [
        (Terms(margin=Fraction(-1, 10)), "margin"),
        (Terms(tax=Fraction(-1, 10)), "tax"),
        (Terms((Fee(Fraction(-1, 10)),)), "fees"),
        (Terms((Fee(fixed=Decimal(-1)),)), "fees"),
        (Terms(carriage_paid=Decimal(-1)), "carriage_paid"),
        (Terms(ending=Decimal("9.995")), "ending"),
        (Terms(ending=Decimal(9), ending_step=Decimal(0)), "ending_step"),
    ],
)
def test_conditions_below_nought_or_finer_than_a_cent_are_refused_by_field(terms, field):
    for ask in (lambda: price_for(Decimal(100), terms), lambda: settle(Decimal(100), Decimal(50), terms)):
        with pytest.raises(PricingError) as refusal:
            ask()
        assert refusal.value.field == field
        assert refusal.value.mend


def cost_at(**changes):
    return made_cost([], Fraction(1, 4), Fraction(2, 5), Fraction(10), Rates(**changes))


@pytest.mark.parametrize("field", ["hour", "overhead_hour", "glue_per_kg", "finish_per_l", "packaging"])
def test_a_rate_below_nought_is_refused_by_field(field):
    with pytest.raises(PricingError) as refusal:
        cost_at(**{field: Decimal(-1)})
    assert refusal.value.field == field


def test_a_disc_that_lasts_no_area_is_refused_and_no_sanding_needs_none():
    with pytest.raises(PricingError) as refusal:
        cost_at(abrasive_m2_each=Fraction(0))
    assert refusal.value.field == "abrasive_m2_each"
    assert cost_at(abrasive_m2_each=Fraction(0), grits=0).value < cost_at().value


def test_a_reserve_for_every_board_leaves_no_cost_to_name():
    with pytest.raises(NoPrice) as refusal:
        cost_at(reserve=Fraction(1))
    assert refusal.value.field == "reserve"
