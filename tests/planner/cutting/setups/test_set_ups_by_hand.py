"""One board's set-ups, every number reckoned by hand beside it."""

from dataclasses import replace
from fractions import Fraction

import pytest

from planner.cutting.plan import BoardCut, Part, StripCut, faults_of
from planner.cutting.setups import set_ups
from planner.hours import DEFAULT_TIMES
from planner.shop import Shop
from tests.planner.cutting.setups.jobs import mm, planned, shop_of, small, unit_in

FILE = small()
SHOP = shop_of(FILE.job.rules, unit_in(FILE))


def ups(shop: Shop = SHOP, **more):
    return set_ups(FILE, shop, DEFAULT_TIMES, **more)


def test_the_plan_itself_can_be_cut():
    assert faults_of(FILE.plan, FILE.job) == ()


def test_the_work_goes_from_the_board_to_the_parts():
    assert [step.kind for step in ups().steps] == [
        "rough", "joint", "plane", "rip", "rip", "gauge", "gauge", "square", "part", "part", "part",
    ]  # fmt: skip
    assert [step.number for step in ups().steps] == list(range(1, 12))


def test_rough_lengths_are_marked_from_one_end_with_every_kerf_between_them():
    (rough,) = ups().of("rough")
    # 25 trimmed; 25 + 600 = 625, a kerf of 3, 628 + 500 = 1128, a kerf, 1131 + 844 = 1975, and 25 stay behind it.
    places = [(cut.gives[0], cut.begins, cut.begins + cut.length) for cut in rough.cuts]
    assert places == [
        ("WAL1-1", mm(25), mm(625)),
        ("WAL1-2", mm(628), mm(1128)),
        ("WAL1-3", mm(1131), mm(1975)),
    ]
    assert [cut.what for cut in rough.cuts] == ["rough length", "rough length", "offcut for the rack"]
    # Before the first, between two and two, behind the last.
    assert rough.passes == 4


def test_the_fence_begins_with_the_narrow_strips_because_more_is_then_held():
    narrow, wide = ups().of("rip")
    assert [step.settings[0].exact for step in (narrow, wide)] == [mm("20.8"), mm("40.5")]
    # 150 less 3 when straight. Narrow first: 147, then 147 - 20.8 - 3 = 123.2, then 99.4 for the wide one; wide first
    # would come down to 147 - 43.5 - 23.8 = 79.7.
    assert (narrow.held, wide.held) == (mm("123.2"), mm("99.4"))
    assert [cut.gives for cut in narrow.cuts] == [("WAL1-1.2", "WAL1-1.3"), ("WAL1-2.1",)]
    assert [cut.gives for cut in wide.cuts] == [("WAL1-1.1",)]
    assert ups().fence_travel.value == mm("19.5")  # from 21 on the scale to 40.5


def test_all_strips_of_a_width_are_gauged_at_one_setting():
    wide, narrow = ups().of("gauge")
    assert [step.settings[0].exact for step in (wide, narrow)] == [mm(40), mm("20.3")]
    assert (len(wide.cuts), len(narrow.cuts)) == (1, 3)


def test_strips_that_would_tip_on_edge_are_told_of_and_those_that_look_square_are_chalked():
    # 40 is more than twice 19; 20.3 is not. 20.8 by 19 looks square, 40.5 by 19 does not.
    wide, narrow = ups().of("gauge")
    assert any("tip over" in note for note in wide.notes)
    assert not any("tip over" in note for note in narrow.notes)
    narrow, wide = ups().of("rip")
    assert any("chalk the planed faces" in note for note in narrow.notes)
    assert not any("chalk the planed faces" in note for note in wide.notes)


def test_the_front_of_every_strip_goes_off_at_a_pencil_mark_without_a_stop():
    (square,) = ups().of("square")
    assert (square.settings[0].what, square.settings[0].exact) == ("mark", mm(25))
    assert (square.passes, len(square.cuts)) == (4, 4)
    assert square.held == mm(500 - 25 - 3)


def test_stops_stand_the_stand_off_further_than_the_part_and_go_one_way_longest_first():
    steps = ups().of("part")
    assert [step.settings[0].exact for step in steps] == [mm(325), mm("144.9"), mm("44.9")]
    assert [step.settings[0].spacer for step in steps] == [mm(25)] * 3
    assert [sum(cut.count for cut in step.cuts) for step in steps] == [1, 2, 33]
    # What is left of the shortest strip: 600 - 28 - 303; 600 - 28 - 2 x 122.9; and of that 8 x 22.9 less.
    assert [step.held for step in steps] == [mm(269), mm("326.2"), mm("143")]


def test_the_scale_shows_half_millimetres_and_what_that_does_to_a_row_is_said():
    border, run, tile = ups(row=mm(320)).of("part")
    assert [step.settings[0].set_to for step in (border, run, tile)] == [mm(325), mm(145), mm(45)]
    # 325 to 145 to 45.
    assert ups().stop_travel.value == mm(280)
    # Sixteen tiles of 19.9 with 0.1 of glue make a row of 320.
    assert "every part is 0.1 mm longer, 1.6 mm over a row of 16" in tile.notes[1]
    # Two runs of six with their glue stand in it.
    assert "0.2 mm over a row of 2" in run.notes[1]
    assert not any("scale" in note for note in border.notes)


def test_as_many_parts_as_stand_in_a_row_are_counted_with_their_glue():
    # 200 tiles of 19.9 and 0.1 of glue make 4,000; without the glue it would be 201.
    assert "20 mm over a row of 200" in ups(row=mm(4000)).of("part")[2].notes[1]


def test_thicknesses_are_set_once_each_the_thickest_first():
    parts = (*FILE.job.parts[:1], Part("walnut", 203, 120, 199, 10, "thin tile"))
    board = replace(FILE.plan.boards[0].rough[1], thickness=120)
    strips = (StripCut(203, ((199, 18),)), StripCut(203, ((199, 15),)))
    first = replace(FILE.plan.boards[0].rough[0], strips=strips)
    file = planned(replace(FILE.job, parts=parts), (BoardCut("WAL1", (first, board)),), FILE.unit)
    thick, thin = set_ups(file, SHOP, DEFAULT_TIMES).of("plane")
    assert [step.settings[0].exact for step in (thick, thin)] == [mm(19), mm(12)]
    assert [step.settings[0].travel for step in (thick, thin)] == [mm(0), mm(7)]
    # One fence setting serves both, with the blade lowered between.
    (rip,) = set_ups(file, SHOP, DEFAULT_TIMES).of("rip")
    assert any("thinner ones" in note for note in rip.notes)


def test_minutes_are_settings_and_strips_and_cuts_by_the_shops_times():
    # A setting takes 2, a cut 1/2, a strip 3, of which 1/6 straightens, 1/6 planes, 1/2 rips and 1/6 gauges.
    assert [step.minutes.value for step in ups().steps] == [
        2,  # four cuts
        2,  # four strips
        2 + 2,
        2 + Fraction(9, 2), 2 + Fraction(3, 2),
        2 + Fraction(1, 2), 2 + Fraction(3, 2),
        2,  # four cuts, and no stop to set
        2 + Fraction(1, 2), 2 + 1, 2 + Fraction(33, 2),
    ]  # fmt: skip
    assert ups().minutes.value == sum(step.minutes.value for step in ups().steps)


def test_strips_side_by_side_take_fewer_passes_where_the_hold_down_reaches():
    tile = ups(replace(SHOP, hold_down=mm(50))).of("part")[2]
    # Two of 20.3 lie under 50; 15 and 10 tiles together take 15 passes, the other strip's 8 its own 8.
    assert (tile.bundle, tile.passes) == (2, 23)
    assert tile.minutes.value == 2 + Fraction(23, 2)
    assert ups().of("part")[2].passes == 33


def test_spares_are_counted_and_are_the_last_that_are_cut():
    *_, tile = ups(spares=(4, 0, 0)).of("part")
    assert [(cut.piece, cut.count, cut.spares) for cut in tile.cuts] == [
        ("WAL1-1.2", 8, 0),
        ("WAL1-1.3", 15, 0),
        ("WAL1-2.1", 10, 4),
    ]


@pytest.mark.parametrize("kind", ["rough", "joint", "plane", "rip", "gauge", "square", "part"])
def test_every_step_comes_with_cautions_that_defer_to_the_machines_manual(kind):
    for step in ups().of(kind):
        assert any("manual" in caution.words for caution in step.cautions)
        assert all(caution.source for caution in step.cautions)
