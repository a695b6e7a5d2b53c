"""Boards of panels: glued, cured, flattened and sliced before any row is joined, end grain never through a planer."""

from dataclasses import replace
from fractions import Fraction

from planner.gluing import faults_of, find_timetable
from planner.gluing.glueboard import GluePanel
from planner.hours import DEFAULT_TIMES
from tests.support.glue_boards import AT_ONCE, OIL, SHOP, WHITE, board, mm, work
from tests.support.trade_rules import broken_rules


def of_panels(side: int, strips: int, copies: int = 1):
    """A board of slices: every row and its mirror image come out of one panel of so many strips of 30 mm, the first of
    two panels."""
    made = board(side)
    many = (side + 1) // 2
    rows = tuple(replace(row, pieces=1, seams=(), panel=min(row.number, side + 1 - row.number)) for row in made.rows)
    panels = tuple(
        GluePanel(
            n,
            tuple(mm(30 * k) for k in range(strips + 1)),
            (mm(300), mm(200)) if n == 1 else (mm(250),),
            2 * copies,
        )
        for n in range(1, many + 1)
    )
    height = sum((row.width for row in rows), mm(0))
    return replace(
        made,
        rows=rows,
        borders=0,
        border_width=mm(0),
        blank_height=height,
        panels=panels,
        panel_dm2=Fraction(20),
        copies=copies,
    )


def kept(made, **given):
    glue = work(made, **given)
    found = find_timetable(glue.work, steps=10)
    assert faults_of(found, glue.work) == ()
    assert broken_rules(glue, found, [made], SHOP, given.get("adhesive", WHITE), OIL, AT_ONCE) == []
    return glue


def test_a_panel_serves_its_rows_and_is_flat_and_cured_before_it_is_sliced():
    glue = kept(of_panels(8, strips=6))
    kinds = [step.kind for step in glue.steps]
    # Four panels, the first in two lengths; nothing is crosscut into tiles, loaded into a jig or bordered.
    assert kinds.count("panel") == kinds.count("even") == 5
    assert not {"cut", "row", "true", "border"} & set(kinds)
    assert not any(what.startswith("jigs") for what in glue.work.capacity)


def test_copies_share_their_panels():
    glue = kept(of_panels(6, strips=5, copies=3))
    assert {step.key.split("/")[0] for step in glue.steps if step.kind in ("panel", "even", "slice")} == {"1"}
    assert {step.key.split("/")[0] for step in glue.steps if step.kind == "join"} == {"1.1", "1.2", "1.3"}


def test_a_panel_of_more_strips_than_load_in_time_is_glued_in_sections():
    # 10 min and one a joint: five joints within 15 min.
    glue = kept(of_panels(4, strips=11))
    assert [step.words for step in glue.steps if step.key.startswith("1/panel/2")] == [
        "Glue section 1 of 2 of panel 2",
        "Glue section 2 of 2 of panel 2",
        "Join the sections of panel 2",
    ]
    assert any("glued in 2 sections" in words for words in glue.remarks)


def test_end_grain_goes_through_no_planer_and_takes_its_own_minutes():
    made = of_panels(8, strips=6)
    glue = work(made)
    flatten = [step for step in glue.steps if step.kind == "flatten"]
    assert all("never through a thickness planer" in step.first[0] for step in flatten)
    assert all("short_stock" not in step.cautions for step in flatten)
    assert dict(flatten[0].minutes)["end_grain_dm2"] == made.faces_dm2 * DEFAULT_TIMES["end_grain_dm2"]
    by_operation: dict[str, Fraction] = {}
    for step in glue.steps:
        for operation, minutes in step.minutes:
            by_operation[operation] = by_operation.get(operation, Fraction(0)) + minutes
    assert by_operation["panel_glue"] == 5 * DEFAULT_TIMES["panel_glue"]
    assert by_operation["panel_joint"] == 25 * DEFAULT_TIMES["panel_joint"]
    assert by_operation["panel_dm2"] == 20 * DEFAULT_TIMES["panel_dm2"]
    assert by_operation["slice"] == 8 * DEFAULT_TIMES["slice"]
    assert by_operation["stop_change"] == made.stop_settings * DEFAULT_TIMES["stop_change"]
    assert by_operation["row_join"] == 7 * DEFAULT_TIMES["row_join"]
