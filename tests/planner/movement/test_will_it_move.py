"""Whether a board moves, in sums that add up: published coefficients, multiplied out by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest

from planner.build import BoardSpec, build
from planner.figures import Figure
from planner.measures import Length
from planner.movement import (
    Air,
    Climate,
    Reading,
    Surroundings,
    apart_at_glue_up,
    change_of,
    end_grain_movement,
    moving,
    moving_record,
)
from planner.pattern import Pattern
from planner.shop import Shop
from planner.woods import WOODS, wood

mm = Length.of_mm
SPEC = BoardSpec("wall", mm(25), mm(20), mm(0), mm(30), "tiles", 1, "beech")


def read(shop, home, **limits):
    """A shop and a home whose moisture a meter read."""
    air = Climate(Fraction(20), Fraction(50))
    return Surroundings(Air(air, Fraction(shop)), Air(air, Fraction(home)), **limits)


def striped(**changes):
    """Sixteen rows of a beech tile beside a padauk tile, between borders of beech."""
    spec = replace(SPEC, **changes)
    return build(Pattern.of([["beech", "padauk"]] * 16), spec, "tiles", Shop())


def test_a_board_that_dries_says_how_far_and_what_the_glue_has_to_bear():
    # Table 13-5: beech 0.00431; padauk 0.00180 second-hand. 4 points: 460 mm and 60 + 400 mm, by hand.
    found = moving(striped(), read(10, 6))
    assert found.most.place == "column 1" and not found.most.grows
    assert found.most.figure.value == mm("7.93")  # 460 × 0.00431 × 4 = 7.930
    assert found.neighbours.figure.value == mm("4.02")  # 400 × (0.00431 − 0.00180) × 4 = 4.016
    assert found.room.value == mm("3.97")
    assert found.change.value == 4


def test_where_rows_stand_upright_the_places_are_rows_of_the_picture():
    found = moving(striped(along="columns", side_border=mm(0), end_border=mm(0)), read(10, 6))
    assert found.most.place == "row 1 of the picture from the bottom"
    assert "sideways" in " ".join(found.advice)


def test_every_sum_adds_up_to_what_stands_over_it():
    found = moving(striped(), read(10, 6))
    terms = found.most.figure.terms
    assert abs(sum(term.figure.value.mm for term in terms) - found.most.figure.value.mm) <= Fraction(1, 200)
    for term in terms:
        across, a_point, change = (inner.figure.value for inner in term.figure.terms)
        assert term.figure.value == across * (a_point * change)
    one, other = (term.figure.value.mm for term in found.neighbours.figure.terms)
    assert abs(abs(one - other) - found.neighbours.figure.value.mm) <= Fraction(1, 100)


def test_past_the_makers_limits_it_is_said_and_within_them_it_is_not():
    strict = moving(striped(), read(10, 6))
    assert next(warning.words.split(" would")[0] for warning in strict.warnings) == "Columns 1 and 2"
    assert "1 mm" in strict.warnings[0].words
    lax = moving(striped(), read(10, 6, most_parting=mm(5), most_step=mm(1)))
    assert lax.warnings == ()
    # 20 mm × (0.00431 − 0.00180) × 4 = 0.2008 mm: over 0.2 by a hair.
    barely = moving(striped(), read(10, 6, most_parting=mm(5))).warnings[0].words
    assert "a step of a little more than 0.2 mm can be felt in the home; your limit is 0.2 mm" in barely
    half = moving(striped(), read(10, 6, most_parting=mm(5), most_step=mm("0.1"))).warnings[0].words
    assert "a step of 0.2 mm can" in half


def test_wood_more_than_two_points_from_its_home_is_told_to_settle():
    # E. Wengert, Woodworking 101, 1998 (woodweb.com): within 2 percentage points of the place of use.
    assert any("within 2 is advised" in sentence for sentence in moving(striped(), read("9.1", 7)).advice)
    assert not any("within 2" in sentence for sentence in moving(striped(), read(9, 7)).advice)


def test_air_outside_the_published_table_is_told_instead_of_numbers():
    found = moving(striped(), Surroundings(home=Air(Climate(Fraction(20), Fraction(2)))))
    assert "5 to 95 %" in found.trouble and found.most is None
    assert set(moving_record(found)) == {"trouble"}


def test_its_record_is_json_and_keeps_every_figure():
    found = moving(striped(), read(10, 6))
    record = json.loads(json.dumps(moving_record(found)))
    assert Figure.from_record(record["neighbours"]["figure"]) == found.neighbours.figure
    assert [Fraction(by) for _, by in record["columns"]] == [column.by.mm for column in found.columns]


def test_printed_and_derived_coefficients_stand_side_by_side_where_they_differ():
    # Red oak is printed 0.00369 as a commercial group (Table 13-5), and 8.6 % of shrinkage gives 0.00304.
    spec = replace(SPEC, border_wood="oak-northern-red")
    board = build(Pattern.of([["teak", "maple-hard"]]), spec, "tiles", Shop())
    lines = {line.wood: line for line in moving(board, read(10, 6)).coefficients}
    assert set(lines) == {"teak", "maple-hard", "oak-northern-red"}
    assert (lines["oak-northern-red"].printed, lines["oak-northern-red"].parts) == (Fraction("0.00369"), True)
    assert (lines["teak"].derived, lines["teak"].used) == (Fraction("0.00201"), Fraction("0.00201"))
    assert not lines["maple-hard"].parts


@pytest.mark.parametrize("found", WOODS.values(), ids=lambda found: found.id)
def test_wood_that_dries_further_never_shrinks_less(found):
    # From inside the table's span to beyond it another equation holds; the larger data must not be lost on the way.
    shrunk = [-change_of(mm(1000), found, Fraction(10), Fraction(then, 10)).by.mm for then in range(65, 50, -1)]
    assert all(after > before * Fraction("0.999") for before, after in pairwise(shrunk))


def test_a_field_of_end_grain_moves_both_ways_and_one_of_face_grain_one_way():
    rows = [["beech", "padauk", None], ["beech", "beech", "beech"]]
    found = end_grain_movement(Pattern.of(rows), mm(30), "maple-hard", Fraction(7), Fraction(10), border=mm(20))
    c = {name: wood(name).c_tangential * 3 for name in ("beech", "padauk", "maple-hard")}
    edges = 40 * c["maple-hard"]
    down = [[rows[r][k] for r in range(2)] for k in range(3)]
    for way, lines, across in ((found.down, down, 2), (found.along, rows, 3)):
        by_hand = [edges + sum(30 * c[name or "maple-hard"] for name in line) for line in lines]
        plain = edges + 30 * across * c["maple-hard"]
        assert [line.by.mm for line in way.lines] == [plain, *by_hand, plain]
        assert way.any_two.by.mm == max([*by_hand, plain]) - min([*by_hand, plain])


def test_meter_readings_further_apart_than_allowed_are_named_with_the_step_they_leave():
    # 20 mm of beech, 0.00431 for each point (Table 13-5), three points: 0.2586 mm by hand.
    readings = [
        Reading("padauk", Fraction(9)),
        Reading("beech", Fraction(11), "B7"),
        Reading("beech", Fraction(8), "B2"),
    ]
    found = apart_at_glue_up(readings, mm(20), Fraction(2))
    assert (found.wettest.label, found.driest.label, found.too_far) == ("B7", "B2", True)
    assert found.step.value == mm("0.259")
    assert not apart_at_glue_up(readings[:2], mm(20), Fraction(2)).too_far
    assert apart_at_glue_up(readings[:1], mm(20), Fraction(2)) is None
