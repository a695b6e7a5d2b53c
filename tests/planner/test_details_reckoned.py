"""Details in hours, cost, record and timetable."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from planner.build import BuildError
from planner.gluing import glue_board_of, glue_work
from planner.hours import DEFAULT_TIMES
from planner.measures import Length
from planner.record import to_record
from tests.support.glue_boards import ALL_AROUND, OIL, SHOP, WHITE, board_of
from tests.support.glue_works import sessions

ROWS = [[None, "beech", "padauk", None]] * 4
SERVED = {"use": "serving", "side_border": Length.of_mm(30), "end_border": Length.of_mm(30)}


def figure(found, name):
    return found.figures[name].value


def test_planned_minutes_of_all_copies_are_one_operation_and_part_of_the_hours():
    plain, detailed = (board_of(ROWS, quantity=2, details=details, **SERVED) for details in ((), ("feet", "mark")))
    # Four feet at 3 minutes and a mark at 5, twice.
    assert "detail_min" not in plain.operations and detailed.operations["detail_min"] == 34
    assert figure(detailed, "hours") - figure(plain, "hours") == Fraction(34, 60)


def test_hardware_is_a_line_of_the_cost_with_its_pieces_and_price():
    found = board_of(ROWS, quantity=2, details=("feet", "handles"), **{**SERVED, "pitch": Length.of_mm(40)})
    line = next(term.figure for term in found.figures["cost_all"].terms if term.name == "Hardware")
    # Two handles at 6.00 and four feet at 0.80, for two boards.
    assert line.value == Decimal("30.40")
    assert [(term.name, term.figure.value) for term in line.terms] == [
        ("Handles, screwed on", Decimal("24.00")),
        ("Feet", Decimal("6.40")),
    ]
    plain = board_of(ROWS, details=("mark",), **SERVED)
    assert all(term.name != "Hardware" for term in plain.figures["cost_all"].terms)


def test_the_record_says_what_each_is_and_a_hanger_what_it_is_to_bear():
    found = board_of(ROWS, details=("hanger", "mark"), side_border=Length.of_mm(60))
    record = to_record(found)
    assert record["spec"]["details"] == ["hanger", "mark"]
    hanger, mark = record["details"]
    assert hanger["hardware"] == 2 and len(hanger["screws"]) == 2 and "slots across the grain" in hanger["where"]
    assert mark["minutes"]["value"] == ["fraction", "5"]
    assert found.figures["hanger_load"].value == found.mass.mass.value * 4


def test_what_does_not_fit_stops_the_reckoning():
    with pytest.raises(BuildError) as error:
        board_of(ROWS, details=("groove",), use="serving", end_border=Length.of_mm(24))
    assert error.value.field == "details" and "25 mm" in str(error.value)


def test_details_are_a_stage_of_their_own_between_cutting_to_size_and_sanding():
    record = to_record(board_of(ROWS, quantity=2, details=("feet", "mark"), **SERVED))
    made = glue_work([glue_board_of(record)], SHOP, WHITE, OIL, ALL_AROUND, DEFAULT_TIMES, sessions(60))
    steps = [step for step in made.steps if step.kind == "details"]
    assert [step.attended for step in steps] == [17, 17] and {step.stage for step in steps} == {"details"}
    assert any("Feet" in words for words in steps[0].first)
    names = [task.name for task in made.work.tasks]
    at = names.index(steps[0].key)
    assert any("/size/" in names[link.first] for link in made.work.links if link.then == at)
    assert any("/sand/" in names[link.then] for link in made.work.links if link.first == at)
