"""The whole route in one call: every figure adds up to what stands beside it, and its record loses nothing."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from planner.build import BoardSpec
from planner.errors import PlannerError
from planner.figures import Figure
from planner.hours import DEFAULT_TIMES
from planner.measures import Length, board_feet, volume_mm3
from planner.pattern import Pattern
from planner.pricing import Fee, Rates, Terms
from planner.reckoning import WoodOffer, reckon, reckon_wood
from planner.record import to_record
from planner.shop import Shop, StockSize
from planner.woods import WOODS

mm = Length.of_mm
STOCK = StockSize(mm(32), mm(150))
OFFERS = {
    name: WoodOffer(name, WOODS[name].name, WOODS[name].finished_rgb, "ring", Decimal(12), "bf", STOCK)
    for name in ("sycamore", "walnut-black", "padauk")
}
PATTERN = Pattern.of(
    [
        [None, "walnut-black", "walnut-black", None],
        [None, "walnut-black", "padauk", None],
        [None, None, "padauk", None],
    ]
)
SPEC = BoardSpec("wall", mm(20), mm(20), mm(40), mm(30), "runs", 1, "sycamore")
TERMS = Terms(fees=(Fee(Fraction(6, 100), name="stall"),), margin=Fraction(1, 5))


def reckoned(pattern=PATTERN, **changes):
    spec = replace(SPEC, **{k: v for k, v in changes.items() if k in SPEC.__dataclass_fields__})
    terms = changes.get("terms", TERMS)
    offers = changes.get("offers", OFFERS)
    return reckon(pattern, spec, Shop(), offers, DEFAULT_TIMES, Rates(), terms)


def test_net_lumber_is_the_volume_of_the_finished_board():
    result = reckoned()
    size = (result.build.finished_length, result.build.finished_height, SPEC.thickness)
    assert result.figures["net_lumber"].value == board_feet(volume_mm3(*size))


def test_lumber_of_all_woods_is_the_sum_of_each():
    result = reckoned()
    assert result.figures["gross_lumber"].value == sum(line.gross.value for line in result.woods)
    assert result.figures["gross_lumber"].value > result.figures["net_lumber"].value


def test_the_wood_reckoned_alone_is_the_wood_of_the_whole_reckoning_line_for_line():
    alone = reckon_wood(PATTERN, replace(SPEC, quantity=3), Shop(), OFFERS, exponent=2)
    names = {offer.name for offer in OFFERS.values()}
    whole = [term for term in reckoned(quantity=3).figures["cost_all"].terms if term.name in names]
    assert list(alone.terms) == whole
    assert alone.value == sum(term.figure.value for term in whole)


def test_wood_cannot_be_reckoned_alone_where_the_whole_board_is_refused():
    with pytest.raises(PlannerError, match="crosscut blade"):
        reckon_wood(PATTERN, replace(SPEC, pitch=mm(2)), Shop(), OFFERS)
    with pytest.raises(PlannerError, match="not among the woods on hand"):
        reckon_wood(PATTERN, SPEC, Shop(), {"sycamore": OFFERS["sycamore"]})


def test_a_cost_is_the_sum_of_its_lines():
    cost = reckoned().figures["cost_all"]
    assert cost.value == sum(term.figure.value for term in cost.terms)


def test_a_price_is_the_sum_of_where_it_goes():
    price = reckoned().figures["price"]
    assert price.value == sum(term.figure.value for term in price.terms)


def test_hours_are_the_sum_of_their_operations():
    hours = reckoned().figures["hours"]
    assert hours.value == sum(term.figure.value for term in hours.terms) / 60


def test_four_boards_at_once_take_fewer_hours_each_and_cost_less_each():
    one, four = reckoned(), reckoned(quantity=4)
    assert four.figures["hours_each"].value < one.figures["hours"].value
    assert four.figures["cost"].value < one.figures["cost"].value
    assert four.figures["pieces"].value == one.figures["pieces"].value


def test_single_tiles_take_more_pieces_and_hours_than_runs():
    wide = Pattern.of([[None, *["walnut-black"] * 12, *["padauk"] * 6, None]] * 9)
    runs, tiles = reckoned(wide), reckoned(wide, method="tiles")
    assert tiles.figures["pieces"].value > runs.figures["pieces"].value
    assert tiles.figures["hours"].value > runs.figures["hours"].value


def test_a_cubic_metre_price_costs_the_same_as_its_board_foot_price():
    # 1 board foot = 144 in³ = 0.002359737216 m³.
    a_foot = Fraction("0.002359737216")
    by_metre = {
        name: replace(offer, per="m3", price=Decimal(12) / Decimal("0.002359737216")) for name, offer in OFFERS.items()
    }
    feet, metres = reckoned(), reckoned(offers=by_metre)
    assert metres.figures["gross_lumber"].value == feet.figures["gross_lumber"].value * a_foot
    assert metres.figures["cost"].value == feet.figures["cost"].value


def test_that_no_price_exists_is_part_of_the_answer():
    result = reckoned(terms=replace(TERMS, margin=Fraction(95, 100)))
    assert result.asking.price is None and "No price exists" in result.asking.no_price
    assert result.figures["cost"].value > 0


def test_a_wood_that_is_not_on_hand_is_named():
    with pytest.raises(PlannerError, match="Padauk is not among the woods on hand"):
        reckoned(offers={k: v for k, v in OFFERS.items() if k != "padauk"})


def test_the_record_is_json_and_holds_every_figure_exactly():
    result = reckoned(quantity=3)
    record = json.loads(json.dumps(to_record(result)))
    for name, figure in result.figures.items():
        assert Figure.from_record(record["figures"][name]) == figure
    assert Pattern.from_text(record["pattern"]) == PATTERN


def test_rows_of_the_record_add_up_to_the_blank():
    record = to_record(reckoned())
    for row in record["laid"]:
        length = sum(Fraction(record["parts"][n]["place"][0]) for n in row["parts"])
        assert length == Fraction(record["blank"][0])


def test_food_cautions_come_with_the_use():
    wall = [c.kind for line in reckoned().woods for c in line.cautions]
    serving = [c.kind for line in reckoned(use="serving").woods for c in line.cautions]
    assert "food" not in wall and "food" in serving
