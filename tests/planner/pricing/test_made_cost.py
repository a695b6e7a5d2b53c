"""What a board costs: the lines worked out by hand (tests/reference/worked-prices.json, "board")."""

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from planner.figures import Figure
from planner.pricing import Rates, WoodCost, made_cost, wage
from planner.pricing.sale import Terms

BOARD = json.loads((Path(__file__).parents[2] / "reference" / "worked-prices.json").read_text())["board"]

# What stays in the board, over a yield of 0.7, at a price a cubic metre.
WOODS = [
    WoodCost("walnut", Fraction("0.0028") / Fraction("0.7"), "m3", Decimal(3200)),
    WoodCost("maple", Fraction("0.00245") / Fraction("0.7"), "m3", Decimal(2400)),
    WoodCost("cherry", Fraction("0.0014") / Fraction("0.7"), "m3", Decimal(2600)),
]
RATES = Rates(
    hour=Decimal(20),
    overhead_hour=Decimal("3.50"),
    glue_g_per_m2=Fraction(200),
    glue_loss=Fraction(1, 2),
    glue_per_kg=Decimal(12),
    grits=5,
    abrasive_m2_each=Fraction("0.135"),
    abrasive_price_each=Decimal("0.60"),
    finish_coats=2,
    finish_l_per_m2=Fraction("0.05"),
    finish_per_l=Decimal(40),
    packaging=Decimal("4.50"),
    reserve=Fraction(4, 100),
)


def board(rates=RATES, **changes):
    given = {"woods": WOODS, "glue_area_m2": Fraction("0.274"), "finished_area_m2": Fraction("0.441")}
    given |= {"hours": Fraction("10.5"), "rates": rates, "abrasive_area_m2": Fraction("0.405")} | changes
    return made_cost(**given)


def lines(cost):
    return {term.name: term.figure for term in cost.terms}


def test_every_line_of_the_board_is_the_one_worked_out_by_hand():
    worked = BOARD["lines"]
    assert {name: str(figure.value) for name, figure in lines(board()).items()} == {
        "walnut": worked["walnut"],
        "maple": worked["maple"],
        "cherry": worked["cherry"],
        "Glue": worked["glue"],
        "Abrasives": worked["abrasives"],
        "Finish": worked["finish"],
        "Labour": worked["labour"],
        "Overhead": worked["overhead"],
        "Reserve for boards lost": worked["reserve"],
        "Packaging": worked["packaging"],
    }


def test_the_lines_add_up_to_the_cost_worked_out_by_hand():
    assert str(board().value) == BOARD["cost"] == "301.27"


def test_discs_are_bought_whole():
    # 5 grits × 0.405 m² ÷ 0.135 m² is 15 exactly; a little more area takes a sixteenth.
    def discs(area):
        terms = {term.name: term.figure for term in lines(board(abrasive_area_m2=area))["Abrasives"].terms}
        return terms["Discs or sheets"].value

    assert discs(Fraction("0.405")) == int(BOARD["discs"]) == 15
    assert discs(Fraction("0.4051")) == 16


def test_a_gift_asks_only_for_what_is_paid_out():
    cash = [
        f.value for name, f in lines(board()).items() if name not in ("Labour", "Overhead", "Reserve for boards lost")
    ]
    assert str(sum(cash) + Decimal("14.00")) == BOARD["gift_cash"]


def test_the_reserve_spreads_a_lost_board_over_those_that_come_out_well():
    # A share q lost and made again until one is good: made ÷ (1 − q), the mean of a geometric distribution.
    made = Decimal(BOARD["made"])
    half = lines(board(replace(RATES, reserve=Fraction(1, 2))))["Reserve for boards lost"]
    assert half.value == made
    assert lines(board(replace(RATES, reserve=Fraction(0))))["Reserve for boards lost"].value == 0


@pytest.mark.parametrize("lost", ["0.04", "0.1", "1/3"])
def test_the_reserve_is_what_boards_made_in_vain_cost_until_one_is_good(lost):
    """Added up plainly: with q lost, the k-th board is needed with the chance that the k − 1 before it were lost."""
    made, share = Decimal(BOARD["made"]), Fraction(lost)
    boards = sum(share**k for k in range(60))
    reserve = lines(board(replace(RATES, reserve=share)))["Reserve for boards lost"].value
    assert abs(Fraction(reserve) - Fraction(made) * (boards - 1)) <= Fraction(1, 200)


def test_packaging_is_paid_for_every_board():
    assert lines(board(quantity=3))["Packaging"].value == Decimal("13.50")


def test_an_unpaid_hour_is_allowed_and_said():
    unpaid = board(replace(RATES, hour=Decimal(0)))
    labour = lines(unpaid)["Labour"]
    assert labour.value == 0
    assert "unpaid" in labour.rule
    assert "unpaid" not in lines(board())["Labour"].rule


def test_no_hours_no_wage():
    assert wage(Decimal(100), Decimal(40), Fraction(0), Terms()) is None


def test_every_money_line_says_how_it_was_reached_down_to_what_was_set_and_measured():
    def walk(figure):
        yield figure
        for term in figure.terms:
            yield from walk(term.figure)

    cost = board()
    figures = list(walk(cost))
    assert all(figure.rule for figure in figures)
    assert all(len(line.figure.terms) >= 2 for line in cost.terms)
    assert Figure.from_record(json.loads(json.dumps(cost.as_record()))) == cost


def test_each_line_is_rounded_once_and_a_half_goes_up():
    # 0.274 m² × 0.2 kg × 1.5 × 12 is 0.9864; a price that makes it 0.985 exactly still gives 0.99.
    half = replace(RATES, glue_per_kg=Decimal("1.5"), glue_g_per_m2=Fraction(1000), glue_loss=Fraction(0))
    assert lines(board(half, glue_area_m2=Fraction(985, 1500)))["Glue"].value == Decimal("0.99")


def test_what_is_used_up_is_told_in_the_units_it_is_bought_in_and_costs_follow_from_it():
    # By hand: 0.274 m² × 200 g × 1.5; 5 grits × 0.405 m² ÷ 0.135; 0.441 m² × 2 coats × 50 ml.
    cost = lines(board())
    used = {name: cost[name].terms[0].figure for name in ("Glue", "Abrasives", "Finish")}
    assert {name: (float(figure.value), figure.unit) for name, figure in used.items()} == {
        "Glue": (82.2, "g"),
        "Abrasives": (15, "disc"),
        "Finish": (44.1, "ml"),
    }


def test_a_rate_that_is_still_a_default_is_called_an_assumption():
    def source(rates):
        return {term.name: term.figure.source for term in lines(board(rates))["Glue"].terms[0].figure.terms}["Spread"]

    assert "assumption" in source(RATES)
    assert "assumption" not in source(replace(RATES, glue_g_per_m2=Fraction(180)))
