"""What is left of many sales, what share of them that is, and what an hour earned, held against printed examples."""

from __future__ import annotations

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.pricing import Earned, dealt, hour_figure, margin_figure, margin_of_markup, profit_figure

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-margins.json").read_text())
cents = st.integers(-(10**7), 10**7).map(lambda n: Decimal(n) / 100)


@pytest.mark.parametrize("one", WORKED["examples"], ids=lambda one: one["income"])
def test_margin_and_markup_are_those_of_the_printed_examples(one):
    earned = Earned(Decimal(one["income"]), Decimal(one["cost"]), Decimal(0), 0)
    assert (earned.margin, earned.markup) == (Fraction(one["margin"]), Fraction(one["markup"]))
    assert margin_of_markup(earned.markup) == earned.margin


@pytest.mark.parametrize("row", WORKED["hours"]["rows"], ids=lambda row: row["hour"])
def test_an_hour_earned_what_is_left_when_all_but_hours_is_paid(row):
    earned = Earned(*(Decimal(row[name]) for name in ("income", "costs", "labour")), row["minutes"])
    assert (earned.left, earned.profit) == (Decimal(row["left"]), Decimal(row["profit"]))
    assert earned.hour(2) == Decimal(row["hour"])


def test_without_hours_without_income_without_cost_there_is_no_share_to_tell():
    nothing = Earned(Decimal(0), Decimal(0), Decimal(0), 0)
    assert (nothing.margin, nothing.markup, nothing.hour(2)) == (None, None, None)
    assert hour_figure(nothing, 2) is None and margin_figure(nothing) is None
    given_back = Earned(Decimal(-5), Decimal(-7), Decimal(0), -10)
    assert given_back.margin is given_back.markup is given_back.hour(2) is None and given_back.profit == 2


def test_every_figure_says_the_terms_it_follows_from():
    earned = Earned(Decimal(500), Decimal(140), Decimal(300), 900)
    hour = hour_figure(earned, 2)
    left, hours = (term.figure.value for term in hour.terms)
    assert hour.value == Decimal(left) / Decimal(int(hours)) and left == earned.left
    came, costs, labour = (term.figure.value for term in profit_figure(earned).terms)
    assert profit_figure(earned).value == came - costs - labour


@given(cents, st.lists(st.integers(1, 50).map(Fraction), min_size=1, max_size=6))
def test_what_is_dealt_out_adds_up_and_nobody_gets_a_coin_more_than_their_share(amount, weights):
    parts = dealt(amount, tuple(weights), 2)
    assert sum(parts) == amount
    for part, weight in zip(parts, weights, strict=True):
        assert abs(Fraction(part) - Fraction(amount) * weight / sum(weights)) < Fraction(1, 100)
