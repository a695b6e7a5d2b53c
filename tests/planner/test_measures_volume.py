"""Areas, volumes and board feet, against published examples and a general library of units."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.measures import (
    Length,
    area_mm2,
    board_feet,
    cubic_metres,
    format_length,
    parse_length,
    round_half_up,
    square_metres,
    volume_mm3,
)
from tests.support.units import quantity

PUBLISHED = json.loads((Path(__file__).parents[1] / "reference" / "measure.json").read_text())


@pytest.mark.parametrize("example", PUBLISHED["board_feet"], ids=lambda example: example["source"])
def test_board_feet_agree_with_the_published_examples(example):
    volume = volume_mm3(*(parse_length(example[side], "in") for side in ("thickness_in", "width_in", "length_in")))
    assert board_feet(volume) == Fraction(example["bf"])


sides = st.integers(1, 10**10).map(Length.from_nm)


@given(sides, sides, sides)
def test_board_feet_and_cubic_metres_agree_with_pint(a, b, c):
    volume = volume_mm3(a, b, c)
    same = quantity(volume, "millimeter**3")
    assert board_feet(volume) == same.to("board_feet").magnitude
    assert cubic_metres(volume) == same.to("meter**3").magnitude


@given(sides, sides)
def test_square_metres_agree_with_pint(a, b):
    assert square_metres(area_mm2(a, b)) == quantity(area_mm2(a, b), "millimeter**2").to("meter**2").magnitude


@given(sides)
def test_inches_agree_with_pint(a):
    assert a.inches == quantity(a.mm, "millimeter").to("inch").magnitude


def test_a_cubic_metre_is_about_424_board_feet():
    # 423.8: from memory, a common round figure of the trade.
    cube = Length.of_mm(1000)
    assert round(board_feet(volume_mm3(cube, cube, cube)), 1) == Fraction("423.8")


def test_150_tiles_of_three_quarters_each_way_hold_0_44_board_feet():
    # Common practice, no source: tile wood is cheap beside the hours.
    side = parse_length('3/4"')
    assert round(board_feet(volume_mm3(side, side, side) * 150), 2) == Fraction("0.44")


def test_thin_lumber_is_measured_by_what_is_there_not_by_a_presumed_inch():
    # Yards tally stock under an inch as an inch thick; that is how it is sold, not how much wood it holds.
    half = volume_mm3(parse_length('1/2"'), parse_length('12"'), parse_length("1'"))
    assert board_feet(half) == Fraction(1, 2)


@pytest.mark.parametrize("row", PUBLISHED["surfaced_thickness"]["rows"], ids=lambda row: row["rough"])
def test_quarter_thicknesses_and_their_surfaced_sizes_are_read_and_turned_into_millimetres(row):
    rough, surfaced = parse_length(row["rough"], "in"), parse_length(row["surfaced"], "in")
    assert surfaced < rough
    assert round_half_up(surfaced.mm, 1) == Decimal(row["mm"])
    assert parse_length(format_length(surfaced, "in")) == surfaced


@pytest.mark.parametrize(("quarters", "printed"), [(4, "1 in"), (5, "1 1/4 in"), (6, "1 1/2 in"), (8, "2 in")])
def test_quarters_are_quarters_of_an_inch(quarters, printed):
    assert format_length(parse_length(f"{quarters}/4", "in"), "in") == printed
