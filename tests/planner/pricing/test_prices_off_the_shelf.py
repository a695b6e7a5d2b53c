"""Glue, abrasives and finish may cost what the shelf's goods cost on average, and the sum says that they do."""

from decimal import Decimal
from fractions import Fraction

from planner.average import Held, bought, used
from planner.pricing import Rates, Shelved, made_cost, rates_at_average
from planner.pricing.rates import AVERAGE

D = Decimal


def glue_bought_twice():
    # By hand: 2 kg for 20.00, then 1 kg for 16.00, are 36.00 ÷ 3 = 12.00 a kilogram.
    return bought(bought(Held(), D(2000), D("20.00")), D(1000), D("16.00"))


def line(rates, name):
    cost = made_cost([], Fraction("0.274"), Fraction("0.441"), Fraction(10), rates)
    return next(term.figure for term in cost.terms if term.name == name)


def test_glue_costs_the_average_of_what_was_bought_whatever_was_used_since():
    held = glue_bought_twice()
    for shelf in (held, used(held, D(700), 2)):
        assert rates_at_average(Rates(), [Shelved("glue", "g", shelf)]).glue_per_kg == D("12.0000")


def test_the_line_says_where_its_price_comes_from():
    found = rates_at_average(Rates(glue_per_kg=D(99)), [Shelved("glue", "g", glue_bought_twice())])
    # By hand, the worked board: 0.274 m² × 0.2 kg × 1.5 × 12.00 is 0.9864.
    assert line(found, "Glue").value == D("0.99")
    price = line(found, "Glue").terms[-1].figure
    assert (price.value, price.source) == (D("12.0000"), AVERAGE)
    assert line(found, "Finish").terms[-1].figure.source != AVERAGE


def test_an_average_that_happens_to_be_the_default_is_no_assumption():
    found = rates_at_average(Rates(), [Shelved("glue", "g", glue_bought_twice())])
    assert found.glue_per_kg == Rates().glue_per_kg
    assert line(found, "Glue").terms[-1].figure.source == AVERAGE


def test_oils_of_one_kind_are_averaged_together_in_one_unit():
    # By hand: 500 ml for 15.00 and 1.5 l for 65.00 are 80.00 ÷ 2 l.
    shelf = [Shelved("finish", "ml", Held(D(500), D("15.00"))), Shelved("finish", "l", Held(D("1.5"), D("65.00")))]
    found = rates_at_average(Rates(), shelf)
    assert (found.finish_per_l, found.at_average) == (D("40.0000"), ("finish_per_l",))


def test_an_average_that_does_not_end_is_kept_two_decimals_finer_than_the_coin():
    found = rates_at_average(Rates(), [Shelved("abrasive", "sheet", Held(D(3), D("10.00")))])
    assert found.abrasive_price_each == D("3.3333")
    assert rates_at_average(Rates(exponent=0), [Shelved("glue", "kg", Held(D(3), D(10)))]).glue_per_kg == D("3.33")


def test_what_is_not_there_or_in_no_unit_the_price_goes_by_keeps_the_written_price():
    shelf = [
        Shelved("glue", "ml", Held(D(500), D(9))),
        Shelved("finish", "g", Held(D(500), D(9))),
        Shelved("abrasive", "m", Held(D(3), D(9))),
        Shelved("glue", "kg", Held()),
        Shelved("other", "kg", Held(D(3), D(9))),
    ]
    assert rates_at_average(Rates(glue_per_kg=D(13)), shelf) == Rates(glue_per_kg=D(13))


def test_goods_that_cost_nothing_cost_nothing():
    assert rates_at_average(Rates(), [Shelved("glue", "kg", Held(D(1)))]).glue_per_kg == 0
