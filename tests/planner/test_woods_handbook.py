"""The woods' published properties against a copy of the rows they were read from."""

import csv
import json
from fractions import Fraction
from pathlib import Path

import pytest

from planner.errors import PlannerError
from planner.woods import WOODS, coefficient_from_shrinkage, wood
from tests.support.each import each

REFERENCE = Path(__file__).parents[1] / "reference"
ROWS = list(csv.DictReader((REFERENCE / "wood_rows.csv").open(newline="")))
COEFFICIENTS = json.loads((REFERENCE / "measure.json").read_text())["coefficient_from_shrinkage"]["rows"]
each_row = each("row", ROWS, ids=lambda row: row["id"])


def number(text):
    return Fraction(text) if text else None


def test_the_table_holds_exactly_the_25_woods_of_the_reference():
    assert [row["id"] for row in ROWS] == list(WOODS)
    assert len(WOODS) == 25


@each_row
def test_specific_gravity_hardness_and_shrinkage_are_the_published_ones(row):
    found = wood(row["id"])
    assert found.scientific_name == row["scientific_name"]
    assert (found.sg_green, found.sg_12) == (number(row["sg_green"]), number(row["sg_12"]))
    assert found.janka_lbf == number(row["janka_lbf_12"])
    assert (found.shrink_radial, found.shrink_tangential, found.shrink_volumetric) == (
        number(row["shrink_radial_pct"]),
        number(row["shrink_tangential_pct"]),
        number(row["shrink_volumetric_pct"]),
    )


@each_row
def test_ease_of_bonding_is_the_published_class_or_said_to_be_unknown(row):
    found = wood(row["id"])
    assert found.bonding == row["bonding"]
    kinds = [caution.kind for caution in found.cautions]
    assert ("bonding" in kinds) == (found.bonding in ("", "with difficulty"))


@each_row
def test_the_movement_planned_with_is_the_larger_of_printed_and_derived(row):
    found = wood(row["id"])
    for planned, printed, shrinkage in (
        (found.c_radial, row["c_r_printed"], found.shrink_radial),
        (found.c_tangential, row["c_t_printed"], found.shrink_tangential),
    ):
        derived = coefficient_from_shrinkage(shrinkage)
        assert planned >= number(printed or "0")
        # Half a unit in the fifth decimal, as the handbook prints them.
        assert planned >= derived - Fraction(1, 200_000)
        assert planned == number(printed) or abs(planned - derived) <= Fraction(1, 200_000)


@each_row
def test_a_wood_moves_more_along_the_rings_than_across_them(row):
    # Wood Handbook, chapter 4: tangential shrinkage is the larger for every wood listed.
    found = wood(row["id"])
    assert found.shrink_tangential > found.shrink_radial
    assert found.c_tangential > found.c_radial
    assert found.shrink_volumetric > found.shrink_tangential


@each(("shrinkage", "printed"), COEFFICIENTS)
def test_the_coefficient_formula_reproduces_the_handbooks_printed_pairs(shrinkage, printed):
    assert round(coefficient_from_shrinkage(Fraction(shrinkage)), 5) == Fraction(printed)


@each(
    "row",
    [row for row in ROWS if row["c_r_printed"] and row["c_source"] == "Table 13-5 FPL-GTR-190 p.13-16"],
    ids=lambda row: row["id"],
)
def test_printed_coefficients_of_single_species_follow_from_their_printed_shrinkage(row):
    # The commercial groups and rows from memory rest on other data and are left out; sycamore is printed 0.00001 low.
    for printed, shrinkage in (("c_r_printed", "shrink_radial_pct"), ("c_t_printed", "shrink_tangential_pct")):
        derived = coefficient_from_shrinkage(Fraction(row[shrinkage]))
        assert abs(derived - Fraction(row[printed])) < Fraction(3, 200_000)


@each("row", [row for row in ROWS if "5-5" in row["sg_source"]], ids=lambda row: row["id"])
def test_specific_gravity_at_12_percent_of_imported_woods_follows_from_the_value_on_green_volume(row):
    # Wood Handbook FPL-GTR-282, Eq. 4-9 and 4-11: S_x = S_0 (1 - x/30), G_x = G_b / (1 - S_x/100).
    shrunk = Fraction(row["shrink_volumetric_pct"]) * (1 - Fraction(12, 30))
    at_12 = Fraction(row["sg_green"]) / (1 - shrunk / 100)
    assert abs(wood(row["id"]).sg_12 - at_12) <= Fraction(1, 1000)


@each_row
def test_every_property_says_where_it_was_read(row):
    sources = dict(wood(row["id"]).sources)
    for name in ("scientific name", "specific gravity", "shrinkage", "movement coefficients", "hardness", "pores"):
        assert sources[name].strip(), name
    assert ("bonding" in sources) == bool(row["bonding"])
    assert "stand-in" in sources["finished colour"]


@each_row
def test_what_came_from_memory_or_second_hand_says_so(row):
    sources = dict(wood(row["id"]).sources)
    for name, source in (
        ("shrinkage", "shrink_source"),
        ("movement coefficients", "c_source"),
        ("hardness", "janka_source"),
    ):
        for confession in ("from memory", "second-hand"):
            assert (confession in sources[name]) == (confession in row[source]), (name, sources[name])


@each_row
def test_every_table_named_in_the_reference_is_named_beside_the_wood(row):
    sources = dict(wood(row["id"]).sources)
    pairs = (("specific gravity", "sg_source"), ("shrinkage", "shrink_source"), ("bonding", "bonding_source"))
    for name, source in pairs:
        if row[source].startswith("Table"):
            table = row[source].split()[1].rstrip(",")
            assert f"Table {table}" in sources[name]


def test_an_unknown_wood_is_refused_by_name():
    with pytest.raises(PlannerError, match="“driftwood”"):
        wood("driftwood")


def test_the_table_cannot_be_changed():
    with pytest.raises(TypeError):
        WOODS["beech"] = WOODS["sycamore"]
    with pytest.raises(AttributeError):
        WOODS["beech"].janka_lbf = 1
