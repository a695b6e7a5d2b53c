"""Boards of panels: glued, cured, flattened and sliced before any row is joined, end grain never through a planer."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.gluing import TimetableError, faults_of, find_timetable, glue_board_of
from planner.hours import DEFAULT_TIMES, count_operations
from planner.record import to_record
from tests.support.glue_boards import AT_ONCE, OIL, SHOP, WHITE, board_of, mm, work
from tests.support.trade_rules import broken_rules

ONE, OTHER = ["beech", "sapele", "beech", "walnut-black"], ["sapele", "beech", "beech", "walnut-black"]
# Rows one and three are alike, and so are two and four; the outermost are all background.
PICTURE = [[None] * 6, *[[None, *row, None] for row in (ONE, OTHER, ONE, OTHER)], [None] * 6]


def reckoned(**changes):
    return board_of(PICTURE, method="panels", pitch=mm(20), **changes)


def of_panels(**changes):
    return glue_board_of(to_record(reckoned(**changes)))


def kept(made, **given):
    glue = work(made, **given)
    found = find_timetable(glue.work, steps=10)
    assert faults_of(found, glue.work) == ()
    assert broken_rules(glue, found, [made], SHOP, given.get("adhesive", WHITE), OIL, AT_ONCE) == []
    return glue


def test_a_panel_serves_its_rows_and_is_flat_and_cured_before_it_is_sliced():
    made = of_panels()
    glue = kept(made)
    kinds = [step.kind for step in glue.steps]
    # Plain borders, plain rows, and two of the picture: four panels, of which none is loaded into a jig or bordered.
    assert len(made.panels) == kinds.count("even") == 4
    assert not {"cut", "row", "true", "border"} & set(kinds)
    assert not any(what.startswith("jigs") for what in glue.work.capacity)
    assert [row.panel for row in made.rows] == [1, 1, 2, 3, 4, 3, 4, 2, 1, 1]


def test_copies_share_their_panels():
    glue = kept(of_panels(quantity=3))
    assert {step.key.split("/")[0] for step in glue.steps if step.kind in ("panel", "even", "slice")} == {"1"}
    assert {step.key.split("/")[0] for step in glue.steps if step.kind == "join"} == {"1.1", "1.2", "1.3"}
    with pytest.raises(TimetableError, match="for 3 copies, not 2"):
        glue_board_of(to_record(reckoned(quantity=3)), copies=2)


def test_a_panel_of_more_strips_than_load_in_time_is_glued_in_sections():
    # Half of 10 min and one a joint: three joints within 8 min, and the third panel has six strips.
    glue = kept(of_panels(), adhesive=replace(WHITE, assembly=8))
    assert [step.words for step in glue.steps if step.key.startswith("1/panel/3")] == [
        "Glue section 1 of 2 of panel 3",
        "Glue section 2 of 2 of panel 3",
        "Join the sections of panel 3",
    ]
    assert any("glued in 2 sections" in words for words in glue.remarks)


def test_cauls_and_clamps_are_set_out_before_the_glue_and_what_is_too_slow_is_said_of_strips_of_a_panel():
    """Common practice, no source. A maker whose panel takes 13 minutes in all still has them pressed within 12."""
    slow = DEFAULT_TIMES | {"panel_glue": Fraction(12), "panel_joint": Fraction(1)}
    glue = kept(of_panels(), times=slow, adhesive=replace(WHITE, assembly=12))
    assert not [step.words for step in glue.steps if "section" in step.words]
    with pytest.raises(TimetableError, match="two strips of a panel takes 7 min; the adhesive's assembly time is 6"):
        kept(of_panels(), times=slow, adhesive=replace(WHITE, assembly=6))


@pytest.mark.parametrize("quantity", [1, 3])
def test_the_minutes_of_all_steps_are_those_of_the_hours_operation_by_operation(quantity):
    result = reckoned(quantity=quantity)
    by_operation: dict[str, Fraction] = {}
    for step in work(glue_board_of(to_record(result))).steps:
        for operation, minutes in step.minutes:
            by_operation[operation] = by_operation.get(operation, Fraction(0)) + minutes
    counts = count_operations(result.build, result.lumber)
    assert by_operation == {name: count * DEFAULT_TIMES[name] for name, count in counts.items() if count}


def test_strips_are_counted_dry_before_they_are_glued():
    for step in work(of_panels()).steps:
        assert step.is_counted_dry == any(words.startswith("dry count") for words in step.first)


def test_end_grain_goes_through_no_planer():
    flatten = [step for step in work(of_panels()).steps if step.kind == "flatten"]
    assert all("never through a thickness planer" in step.first[0] for step in flatten)
    assert all("short_stock" not in step.cautions for step in flatten)
