"""Several boards at once share what is done once."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.pricing import Fee, Part, PricingError, Terms, batch_table, price_for, unit_cost

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-selling.json").read_text())["copies"]
D = Decimal


@pytest.mark.parametrize(("copies", "cost"), WORKED["cost_of_one"].items())
def test_one_of_so_many_costs_what_was_worked_out_by_hand(copies, cost):
    assert str(unit_cost(D(WORKED["once"]), D(WORKED["each"]), int(copies))) == cost


def test_a_table_has_cost_price_and_what_is_left_of_every_number_of_copies():
    once, each = Part(D("70.50"), D("60.00"), Fraction(3)), Part(D(200), D(160), Fraction(8))
    rows = batch_table(once, each, [1, 2, 3, 5, 10], Terms(margin=Fraction(1, 5)))
    assert [str(row.cost) for row in rows] == list(WORKED["cost_of_one"].values())
    # By hand: a fifth of the price is left, so that 270.50 ÷ 0.8 is 338.125; 338.13 less 270.50 is 67.63.
    assert (rows[0].price, rows[0].profit, rows[0].profit_all) == (D("338.13"), D("67.63"), D("67.63"))
    # 223.50 ÷ 0.8 is 279.375; each leaves 55.88, three of them 167.64; 9 hours, labour of 20 and 160.
    assert (rows[2].price, rows[2].profit_all) == (D("279.38"), D("167.64"))
    assert rows[2].hour_earns == D("26.21")  # (279.38 − 223.50 + 180.00) ÷ 9
    assert all(row.price == price_for(row.cost, Terms(margin=Fraction(1, 5))) for row in rows)


def test_without_hours_no_hour_earns_anything():
    (row,) = batch_table(Part(D("70.50")), Part(D(200)), [3], Terms())
    assert row.hour_earns is None and row.price == D("223.50")


def test_where_no_price_exists_every_row_still_has_its_cost_and_says_why():
    terms = Terms((Fee(Fraction(1, 2), name="gallery"),), margin=Fraction(1, 2))
    rows = batch_table(Part(D("70.50")), Part(D(200)), range(1, 4), terms)
    assert [str(row.cost) for row in rows] == ["270.50", "235.25", "223.50"]
    assert all(row.price is None and "50 % gallery + 50 % margin" in row.no_price for row in rows)


@settings(deadline=None)
@given(st.integers(0, 100_000), st.integers(0, 100_000), st.integers(1, 60))
def test_another_copy_never_makes_one_dearer_and_all_together_are_once_and_each(once, each, copies):
    one, next_one = (unit_cost(D(once) / 100, D(each) / 100, n) for n in (copies, copies + 1))
    assert next_one <= one
    assert abs(one * copies - (D(once) + D(each) * copies) / 100) <= D("0.005") * copies


@pytest.mark.parametrize(("asked", "field"), [((D(1), D(1), 0), "copies"), ((D(-1), D(1), 1), "cost")])
def test_no_copies_and_costs_below_nought_are_refused(asked, field):
    with pytest.raises(PricingError) as refused:
        unit_cost(*asked)
    assert refused.value.field == field
