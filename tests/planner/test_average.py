"""Consumables are worth the moving average of what they cost, and what came in goes out to the coin."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.average import Held, bought, counted, used, worth_of
from planner.errors import PlannerError

D = Decimal
WORKED = json.loads((Path(__file__).parents[1] / "reference" / "worked-selling.json").read_text())


def test_the_worked_example_of_two_lots():
    # 10 at 8.00, then 10 at 11.00, and 12 are used: 114.00 go and 76.00 stay by the weighted average of IAS 2
    # paragraph 27; worked out by hand: 190.00 / 20 = 9.50, 12 of them 114.00.
    held = bought(bought(Held(), D(10), D("80.00")), D(10), D("110.00"))
    worked = WORKED["two_lots"]["moving_average"]
    assert str(worth_of(held, D(12), 2)) == worked["used"] == "114.00"
    assert used(held, D(12), 2) == Held(D(8), D(worked["left"])) == Held(D(8), D("76.00"))


def test_three_for_ten_go_out_at_ten():
    # 10.00 / 3 does not end: worked out by hand 3.33, then 6.67 / 2 = 3.335 rounded away from nought, then the rest.
    held, went = Held(D(3), D("10.00")), []
    for _ in range(3):
        went.append(worth_of(held, D(1), 2))
        held = used(held, D(1), 2)
    assert [str(worth) for worth in went] == WORKED["three_for_ten"]["issues"] == ["3.33", "3.34", "3.33"]
    assert held == Held(D(0), D(0))


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(1, 5000), st.integers(0, 100_000), st.fractions(0, 1, max_denominator=20)), min_size=1
    ),
    st.sampled_from([0, 2, 3]),
)
def test_what_came_in_is_what_went_out_and_what_is_left(steps, exponent):
    held, came, went = Held(), D(0), D(0)
    coin = D(1).scaleb(-exponent)
    for thousandths, coins, share in steps:
        cost = coins * coin
        held, came = bought(held, D(thousandths) / 1000, cost), came + cost
        amount = D(int(held.amount * 1000 * share.numerator / share.denominator)) / 1000
        if amount:
            out = worth_of(held, amount, exponent)
            assert out % coin == 0
            held, went = used(held, amount, exponent), went + out
        assert came == went + held.worth
    if held.amount:
        assert used(held, held.amount, exponent) == Held(D(0), D(0))


@pytest.mark.parametrize("amount", [D(0), D(-1), D("2.001")])
def test_no_more_is_used_than_is_held(amount):
    with pytest.raises(PlannerError):
        used(Held(D(2), D(1)), amount, 2)


def test_nothing_held_has_no_average_and_no_worth():
    with pytest.raises(PlannerError):
        Held().average  # noqa: B018
    with pytest.raises(PlannerError):
        Held(D(0), D(1))
    with pytest.raises(PlannerError):
        bought(Held(), D(0), D(5))


def test_what_was_counted_comes_and_goes_at_the_average():
    held = Held(D(8), D("76.00"))
    assert counted(held, D(10), 2) == Held(D(10), D("95.00"))
    assert counted(held, D(6), 2) == Held(D(6), D("57.00"))
    assert counted(held, D(8), 2) == held
    assert counted(held, D(0), 2) == Held(D(0), D(0))
    assert counted(Held(), D(3), 2) == Held(D(3), D(0))
