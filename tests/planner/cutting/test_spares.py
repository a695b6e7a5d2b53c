"""Spare pieces: the fewest that leave enough good ones, as sure as the maker asks (binomial distribution)."""

import json
from fractions import Fraction
from math import comb
from pathlib import Path
from time import perf_counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.cutting import SparesError, spares

WORKED = json.loads((Path(__file__).parents[2] / "reference" / "worked-prices.json").read_text())["spares_at_95"]


def chance_that_enough_stay_good(needed, s, rate):
    """The plain sum over how many of needed + s are spoiled, in exact fractions."""
    cut = needed + s
    return sum(comb(cut, k) * rate**k * (1 - rate) ** (cut - k) for k in range(s + 1))


@pytest.mark.parametrize("needed", [64, 256, 576, 1024])
def test_the_spares_are_those_of_the_worked_table(needed):
    found = [spares(needed, Fraction(p, 100), Fraction(95, 100)) for p in (1, 2, 5)]
    assert found == WORKED[str(needed)]


@settings(max_examples=200, deadline=None)
@given(
    st.integers(1, 60),
    st.integers(1, 500).map(lambda n: Fraction(n, 1000)),
    st.integers(0, 999).map(lambda n: Fraction(n, 1000)),
)
def test_the_spares_suffice_and_one_fewer_would_not(needed, rate, confidence):
    s = spares(needed, rate, confidence)
    assert chance_that_enough_stay_good(needed, s, rate) >= confidence
    assert s == 0 or chance_that_enough_stay_good(needed, s - 1, rate) < confidence


@pytest.mark.parametrize(
    "needed, s, rate", [(1, 1, "1/2"), (2, 0, "1/5"), (3, 2, "1/10"), (40, 3, "1/50"), (7, 6, "1/3")]
)
def test_a_confidence_met_exactly_counts_as_met_and_a_hair_more_does_not(needed, s, rate):
    # Here only whole numbers can tell.
    rate = Fraction(rate)
    exactly = chance_that_enough_stay_good(needed, s, rate)
    assert spares(needed, rate, exactly) == s
    assert spares(needed, rate, exactly + Fraction(1, 10**70)) == s + 1


@pytest.mark.parametrize("rate", ["1/50", "1/8", "333333/1000000", "1/2"])
def test_forty_thousand_pieces_are_answered_at_once_and_rightly(rate):
    rate, needed = Fraction(rate), 40_000
    start = perf_counter()
    s = spares.__wrapped__(needed, rate, Fraction(95, 100))
    taken = perf_counter() - start
    # Mean and spread of the pieces spoiled before 40,000 are good, and the normal distribution's 1.645 at 95 %.
    mean = needed * rate / (1 - rate)
    spread = float(mean / (1 - rate)) ** 0.5
    assert s == pytest.approx(float(mean) + 1.645 * spread, abs=0.03 * spread + 2)
    assert taken < 1.5


def test_no_pieces_and_no_spoiling_need_no_spares():
    assert spares(0, Fraction(1, 50), Fraction(95, 100)) == 0
    assert spares(500, Fraction(0), Fraction(999, 1000)) == 0


def test_two_pieces_that_seldom_spoil_need_none():
    # 0.98 × 0.98 is 96.04 %; a third piece brings it to 94.1 %.
    assert spares(2, Fraction(2, 100), Fraction(95, 100)) == 0
    assert spares(3, Fraction(2, 100), Fraction(95, 100)) == 1


@pytest.mark.parametrize(
    "rate, confidence, field",
    [
        ("6/10", "95/100", "spoil_rate"),
        ("-1/10", "95/100", "spoil_rate"),
        ("1", "95/100", "spoil_rate"),
        ("1/50", "1", "spare_confidence"),
        ("1/50", "-1/2", "spare_confidence"),
    ],
)
def test_a_rate_or_a_sureness_that_no_spares_answer_to_is_refused(rate, confidence, field):
    with pytest.raises(SparesError) as refusal:
        spares(10, Fraction(rate), Fraction(confidence))
    assert refusal.value.field == field
    assert refusal.value.mend
