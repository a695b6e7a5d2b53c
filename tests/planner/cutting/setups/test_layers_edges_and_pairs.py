"""Rough lengths resawn into layers, strips turned on edge, pieces that follow one another, parts bound and shaded."""

from dataclasses import replace

import pytest

from planner.cutting.plan import BoardCut, CutJob, Part, RoughCut, StockBoard, StripCut, faults_of
from planner.cutting.setups import SetUpError, set_ups
from planner.hours import DEFAULT_TIMES
from tests.planner.cutting.setups.jobs import mm, planned, shop_of, small, unit_in
from tests.planner.cutting.setups.replay import replay

RULES = small().job.rules


def board(name="WAL1", **more):
    return StockBoard(name, "walnut", 1500, 7000, 220, 1000, **more)


def follow(file, **more):
    """The set-ups and what they leave, for a plan that can be cut."""
    assert faults_of(file.plan, file.job) == ()
    unit = unit_in(file)
    shop = shop_of(file.job.rules, unit, **more)
    ups = set_ups(file, shop, DEFAULT_TIMES)
    return ups, replay(ups, file, unit, shop)


def resawn():
    """A rough length in two layers: ten tiles out of the first, eight and six out of the second."""
    job = CutJob((Part("walnut", 203, 80, 199, 24, "tile"),), (board(resawn=90),), RULES)
    strips = (StripCut(203, ((199, 10),)),)
    under = (StripCut(203, ((199, 8),)), StripCut(203, ((199, 6),)))
    return planned(job, (BoardCut("WAL1", (RoughCut(6000, 80, strips, 250, True, under),)),), "1/10 mm")


def test_a_resawn_rough_length_is_straightened_sawn_and_both_its_layers_planed_and_ripped():
    ups, bench = follow(resawn(), tallest_resaw=mm(150))
    assert [step.kind for step in ups.steps] == ["rough", "joint", "resaw", "plane", "rip", "gauge", "square", "part"]
    (resaw,) = ups.of("resaw")
    assert resaw.cuts[0].gives == ("WAL1-1", "WAL1-1 under")
    (plane,) = ups.of("plane")
    assert [cut.piece for cut in plane.cuts] == ["WAL1-1", "WAL1-1 under"]
    (rip,) = ups.of("rip")
    # The second layer's strips go on counting.
    assert [cut.gives for cut in rip.cuts] == [("WAL1-1.1",), ("WAL1-1.2", "WAL1-1.3")]
    assert sum(bench.parts.values()) == 24


def test_a_board_too_wide_for_the_band_saws_guide_is_told_what_to_do_instead():
    # 150 less 3 once it is straight.
    ups, _ = follow(resawn(), tallest_resaw=mm("146.9"))
    (resaw,) = ups.of("resaw")
    assert "WAL1-1: 147 mm wide, it does not stand under the guide, which takes 146.9 mm." in resaw.instead
    (fits,) = follow(resawn(), tallest_resaw=mm(147))[0].of("resaw")
    assert not fits.instead


def test_a_layer_that_is_kept_whole_meets_neither_planer_nor_saw():
    job = CutJob((Part("walnut", 203, 80, 199, 10, "tile"),), (board(resawn=90),), RULES)
    rough = RoughCut(6000, 80, (StripCut(203, ((199, 10),)),), 250, True)
    ups, _ = follow(planned(job, (BoardCut("WAL1", (rough,)),), "1/10 mm"))
    touched = [cut.piece for step in ups.steps if step.kind not in ("rough", "joint", "resaw") for cut in step.cuts]
    assert "WAL1-1 under" not in touched


def test_strips_turned_on_edge_are_planed_to_the_parts_width_and_ripped_to_their_thickness():
    """Tiles 20 wide and 12 thick out of stock milled to 20, the fence at 12 and what is left for gauging."""
    job = CutJob((Part("walnut", 200, 120, 199, 10, "tile"),), (board(),), RULES, (("walnut", "edge"),))
    rough = RoughCut(6000, 200, (StripCut(120, ((199, 10),)),), 250)
    file = planned(job, (BoardCut("WAL1", (rough,)),), "1/10 mm", on_edge=("walnut",))
    ups, _ = follow(file)
    assert ups.of("plane")[0].settings[0].exact == mm(20)
    assert ups.of("rip")[0].settings[0].exact == mm("12.5")
    assert ups.of("gauge")[0].settings[0].exact == mm(12)
    assert [one.what for one in ups.of("gauge")[0].cuts] == ["strip, turned on edge after"]
    (cut,) = ups.of("part")[0].cuts
    assert (cut.length, cut.width, cut.thickness) == (mm("19.9"), mm(20), mm(12))
    assert any("turned on edge" in sentence for sentence in ups.order)


def paired():
    """Left and right border of a row, 70 and 50, and tiles; 70 + 3 + 50 = 123."""
    parts = (
        Part("walnut", 203, 190, 1230, 2, "left and right side border of a row", pieces=(700, 500)),
        Part("walnut", 203, 190, 700, 1, "side border"),
        Part("walnut", 203, 190, 199, 4, "tile"),
    )
    strip = StripCut(203, ((1230, 2), (700, 1), (199, 4)), (((700, 500), 2),))
    rough = RoughCut(6000, 190, (strip,), 250)
    return planned(CutJob(parts, (board(),), RULES), (BoardCut("WAL1", (rough,)),), "1/10 mm")


def test_pieces_of_a_row_come_off_one_strip_each_at_the_stop_of_its_length():
    ups, bench = follow(paired())
    longer, shorter, tile = ups.of("part")
    assert [step.settings[0].exact for step in (longer, shorter, tile)] == [mm(95), mm(75), mm("44.9")]
    told = [(cut.what, cut.piece, cut.count, cut.length) for step in (longer, shorter) for cut in step.cuts]
    assert told == [
        ("left and right side border of a row", "WAL1-1.1", 2, mm(70)),
        ("side border", "WAL1-1.1", 1, mm(70)),
        ("left and right side border of a row", "WAL1-1.1", 2, mm(50)),
    ]
    assert all(any("in pairs" in note for note in step.notes) for step in (longer, shorter))
    assert {key[3].mm: count for key, count in bench.parts.items()} == {70: 3, 50: 2, mm("19.9").mm: 4}


def test_borders_alike_on_both_sides_need_one_stop():
    parts = (Part("walnut", 203, 190, 1430, 2, "side borders of a row", pieces=(700, 700)),)
    strip = StripCut(203, ((1430, 2),), (((700, 700), 2),))
    file = planned(
        CutJob(parts, (board(),), RULES), (BoardCut("WAL1", (RoughCut(6000, 190, (strip,), 250),)),), "1/10 mm"
    )
    ups, _ = follow(file)
    (step,) = ups.of("part")
    assert [(cut.count, cut.length) for cut in step.cuts] == [(4, mm(70))]
    (told,) = set_ups(file, shop_of(RULES, unit_in(file)), DEFAULT_TIMES, spares=(1,)).of("part")
    # One row's borders are spare: two pieces.
    assert told.cuts[0].spares == 2


def test_pieces_alike_in_name_and_size_share_a_line_whatever_they_are_paired_with():
    """70 beside 50 and 70 beside 60: four of 70 in one line to tick, a spare row's among them."""
    parts = (
        Part("walnut", 203, 190, 1230, 2, "borders of a row", pieces=(700, 500)),
        Part("walnut", 203, 190, 1330, 2, "borders of a row", pieces=(700, 600)),
    )
    strip = StripCut(203, ((1330, 2), (1230, 1)), (((700, 600), 2), ((700, 500), 1)))
    other = StripCut(203, ((1230, 1),), (((700, 500), 1),))
    rough = RoughCut(6000, 190, (strip, other), 250)
    file = planned(CutJob(parts, (board(),), RULES), (BoardCut("WAL1", (rough,)),), "1/10 mm")
    longer, *_ = set_ups(file, shop_of(RULES, unit_in(file)), DEFAULT_TIMES, spares=(1, 1)).of("part")
    assert [(cut.piece, cut.count, cut.spares) for cut in longer.cuts] == [("WAL1-1.1", 3, 1), ("WAL1-1.2", 1, 1)]


def bound(**more):
    """Tiles of one size from two boards: four for a lot bound to one board, four of the light shade, two of either."""
    parts = (
        Part("walnut", 203, 190, 199, 2, "tile"),
        Part("walnut", 203, 190, 199, 4, "side border", bound="side border"),
        Part("walnut", 203, 190, 199, 4, "light tile", shade="light"),
    )
    stock = (board("WAL1", shade="light"), board("WAL2", shade="dark"))
    roughs = [(RoughCut(6000, 190, (StripCut(203, ((199, 5),)),), 250),) for _ in stock]
    boards = tuple(BoardCut(one.name, rough) for one, rough in zip(stock, roughs, strict=True))
    more.setdefault("bound_to", (("walnut", "side border", "WAL2"),))
    return planned(CutJob(parts, stock, RULES), boards, "1/10 mm", **more)


def test_pieces_of_one_size_are_told_apart_by_the_board_and_shade_they_have_to_come_from():
    ups, _ = follow(bound())
    (step,) = ups.of("part")
    assert [(cut.what, cut.piece, cut.count) for cut in step.cuts] == [
        ("light tile", "WAL1-1.1", 4),
        ("tile", "WAL1-1.1", 1),
        ("side border", "WAL2-1.1", 4),
        ("tile", "WAL2-1.1", 1),
    ]


def test_a_plan_that_cuts_parts_from_other_boards_than_they_ask_for_is_refused():
    file = bound(bound_to=(("walnut", "side border", "WAL1"),))
    with pytest.raises(
        SetUpError, match=r"cannot be cut as it stands\. .*1 are cut from boards of the shade light"
    ) as refused:
        set_ups(file, shop_of(RULES, unit_in(file)), DEFAULT_TIMES)
    assert refused.value.field == "plan"


def test_a_plan_of_other_parts_is_refused():
    file = paired()
    fewer = replace(file, job=replace(file.job, parts=file.job.parts[:2]))
    with pytest.raises(SetUpError, match=r"cannot be cut as it stands\. Of walnut"):
        set_ups(fewer, shop_of(RULES, unit_in(file)), DEFAULT_TIMES)


def test_bad_wood_between_two_rough_lengths_takes_two_cuts():
    job = CutJob(
        (Part("walnut", 203, 190, 199, 8, "tile"),),
        (StockBoard("WAL1", "walnut", 1500, 9000, 220, 1000, bad=((3700, 4300),)),),
        RULES,
    )
    strip = (StripCut(203, ((199, 4),)),)
    roughs = (RoughCut(3400, 190, strip, 250), RoughCut(3400, 190, strip, 4300))
    ups, _ = follow(planned(job, (BoardCut("WAL1", roughs),), "1/10 mm"))
    (rough,) = ups.of("rough")
    # 25 to 365, then wood to be avoided, 430 to 770, then the rest: one cut before, two between, one behind.
    assert [(cut.begins, cut.begins + cut.length) for cut in rough.cuts] == [
        (mm(25), mm(365)),
        (mm(430), mm(770)),
    ]
    assert rough.passes == 4
