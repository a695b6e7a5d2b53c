"""What is asked for a board: by margin, markup or money, named outright, and sent by a carrier's tariff."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from planner.asking import Selling, send
from planner.measures import Length
from planner.pricing import Carrier, Fee, Packing, Target, Terms
from planner.record import to_record
from tests.planner.test_reckoning import OFFERS, TERMS, reckoned

CARRIER = Carrier(5000, Fraction(1, 2), ((Fraction(1), Decimal("4.90")), (Fraction(5), Decimal("8.90"))))
PACKING = Packing(Length.of_mm(40), Fraction(1, 2))


def money(result, name: str) -> Decimal:
    return result.figures[name].value


def test_left_to_the_terms_a_selling_is_the_terms():
    assert reckoned(terms=Selling(TERMS)).figures == reckoned(terms=TERMS).figures


@pytest.mark.parametrize("markup", [Fraction(0), Fraction(1, 4), Fraction(2, 3)])
def test_a_markup_leaves_at_least_its_share_of_the_cost_and_a_cent_less_does_not(markup):
    result = reckoned(terms=Selling(TERMS, Target("markup", markup)))
    cost, price, profit = (Fraction(money(result, name)) for name in ("cost", "price", "profit"))
    assert profit >= cost * markup
    # 6 % of the price, rounded to the cent, is the only fee.
    below = price - Fraction(1, 100)
    assert round(float(below - cost), 2) - round(float(below) * 0.06 + 1e-9, 2) < float(cost * markup)


def test_a_sum_is_left_to_the_coin():
    result = reckoned(terms=Selling(TERMS, Target("profit", Fraction(30))))
    assert 0 <= money(result, "profit") - Decimal(30) < Decimal("0.02")
    assert "leaves 30.00 as yours" in result.figures["price"].rule


def test_a_margin_asked_as_a_target_is_the_margin_of_the_terms():
    target = Selling(replace(TERMS, margin=Fraction(0)), Target("margin", TERMS.margin))
    assert money(reckoned(terms=target), "price") == money(reckoned(terms=TERMS), "price")


def test_shares_of_price_and_cost_are_what_they_are_called():
    result = reckoned(terms=replace(TERMS, tax=Fraction(1, 5), tax_included=True))
    profit, net = Fraction(money(result, "profit")), Fraction(money(result, "price")) / Fraction(12, 10)
    assert result.figures["margin"].value == profit / net
    assert result.figures["markup"].value == profit / Fraction(money(result, "cost"))


def test_the_cash_floor_covers_everything_but_the_hours():
    result = reckoned(terms=Terms(margin=Fraction(1, 5)))
    labour = next(t.figure.value for t in result.figures["cost_all"].terms if t.name == "Labour")
    assert money(result, "cash_floor") == money(result, "cost") - labour


def test_limits_of_a_fee_are_said_where_it_stands():
    fee = Fee(Fraction(1, 10), name="stall", minimum=Decimal(5), cap=Decimal(12))
    (line,) = reckoned(terms=Terms((fee,))).figures["fees"].terms
    assert line.figure.rule == "10 % of price, at least 5.00, at most 12.00"


def test_a_parcel_is_charged_by_hand_worked_mass_or_room():
    """160 × 120 × 20 mm with 40 mm around: 24 × 20 × 10 cm = 4800 cm³, 0.96 kg by its room, up to the next half 1.0;
    the board weighs well under half a kilogram beside its packing's half."""
    result = reckoned(terms=Selling(TERMS, carrier=CARRIER, packing=PACKING))
    assert result.mass.mass.value < Fraction(46, 100)
    assert money(result, "carriage") == Decimal("4.90")
    (paid,) = [t.figure for t in result.figures["price"].terms if t.name == "Carriage paid"]
    assert paid == result.figures["carriage"] and paid.terms[0].figure.value == 1
    heavier = Selling(TERMS, carrier=CARRIER, packing=replace(PACKING, mass_kg=Fraction(9, 10)))
    assert money(reckoned(terms=heavier), "carriage") == Decimal("8.90")


@pytest.mark.parametrize(
    ("carrier", "words"),
    [
        (replace(CARRIER, tariff=((Fraction(1, 2), Decimal(3)),)), "the tariff ends at 0.5 kg"),
        (replace(CARRIER, divisor=-1), "less than nought"),
    ],
)
def test_where_the_tariff_does_not_tell_the_sum_written_counts_and_that_is_said(carrier, words):
    terms = replace(TERMS, carriage_paid=Decimal("7.5"))
    result = reckoned(terms=Selling(terms, carrier=carrier, packing=PACKING))
    assert "carriage" not in result.figures
    assert money(result, "price") == money(reckoned(terms=terms), "price")
    trouble = to_record(result)["carriage_trouble"]
    assert trouble.startswith("Carriage is the 7.50 written in the settings") and words in trouble


def test_a_board_of_a_wood_of_unknown_mass_is_not_sent_by_what_the_rest_weighs():
    result = reckoned(terms=Selling(TERMS, carrier=CARRIER, packing=PACKING))
    assert "What the board weighs is not known" in send(result.figures, None, Selling(TERMS, carrier=CARRIER)).trouble
    assert set(OFFERS) and not result.mass.unknown
