"""Knots to leave out, shades, rows from one board, borders side by side, strips on edge, boards resawn: what a maker
sees of each in a plan. Sizes are whole units; the numbers are worked out by hand beside each."""

from dataclasses import replace

import pytest

from planner.cutting.plan import (
    CutJob,
    CutPlanError,
    Part,
    Rules,
    StockBoard,
    faults_of,
    first_cut_plan,
    plan_cuts,
    prove_floor,
)

RULES = Rules(crosscut_kerf=3, rip_kerf=2, grid=10, keep_length=30, keep_width=10, worth_area=100)
STEPS = 40


def both(job):
    plans = first_cut_plan(job), plan_cuts(job, steps=STEPS)
    for plan in plans:
        assert faults_of(plan, job) == ()
    assert [prove_floor(one, job) for one in plans[1].floors] == [one.floor for one in plans[1].floors]
    return plans


def ripped(plan):
    return [(rough.at, rough.length) for cut in plan.boards for rough in cut.rough if rough.strips]


# What is bad is left out


def test_rough_lengths_lie_on_both_sides_of_a_knot():
    # 40 before the knot and 40 behind it: one part each; together they would not fit on either side.
    board = StockBoard("A", "ash", 20, 100, 10, 100, bad=((40, 60),))
    for plan in both(CutJob((Part("ash", 20, 10, 40, 2),), (board,), RULES)):
        assert ripped(plan) == [(0, 40), (60, 40)]


def test_a_knot_narrower_than_the_cut_takes_the_cut_with_it():
    # The cut lies from 40 to 43, so 57 are left behind it and not 59: five grid steps, no sixth.
    board = StockBoard("A", "ash", 20, 100, 10, 100, bad=((40, 41),))
    for plan in both(CutJob((Part("ash", 20, 10, 40, 2),), (board,), RULES)):
        assert ripped(plan) == [(0, 40), (43, 40)]
    with pytest.raises(CutPlanError, match="57 once its ends are trimmed and what is bad is left out"):
        first_cut_plan(CutJob((Part("ash", 20, 10, 60, 1),), (board,), RULES))


def test_ends_are_kept_out_of_clear_wood_only():
    # 40 are ripped; 37 stay before the knot and are kept, and 30 behind it, by themselves.
    board = StockBoard("A", "ash", 20, 120, 10, 100, worth=10, bad=((80, 90),))
    for plan in both(CutJob((Part("ash", 20, 10, 40, 1),), (board,), RULES)):
        ends = sorted((offcut.kind, offcut.length) for offcut in plan.offcuts)
        assert ends == [("end", 30), ("end", 37)]


# Shades


def test_parts_of_a_shade_come_from_boards_of_it_and_others_from_any():
    dark = StockBoard("dark", "ash", 20, 100, 10, 300, shade="dark")
    plain = StockBoard("plain", "ash", 20, 100, 10, 100)
    job = CutJob((Part("ash", 20, 10, 30, 1, shade="dark"), Part("ash", 20, 10, 30, 3)), (dark, plain), RULES)
    for plan in both(job):
        made = {
            cut.board: sum(n for rough in cut.rough for s in rough.strips for _, n in s.parts) for cut in plan.boards
        }
        assert made["dark"] >= 1
        assert sum(made.values()) == 4
    # Three of 30 go on either board (3 x 30 + 2 x 3 = 96); both have to be opened for four.
    assert plan_cuts(job, steps=STEPS).cost == 400


def test_a_shade_nobody_has_is_named():
    board = StockBoard("A", "ash", 20, 100, 10, 100, shade="light")
    with pytest.raises(CutPlanError, match="asks for the shade dark, and no ash in stock is of it") as told:
        first_cut_plan(CutJob((Part("ash", 20, 10, 30, 1, shade="dark"),), (board,), RULES))
    assert told.value.field == "stock" and "let the part come from any" in told.value.mend


# Rows from one board

SPLIT = (
    StockBoard("one", "ash", 20, 70, 10, 100),
    StockBoard("two", "ash", 20, 70, 10, 100),
    StockBoard("long", "ash", 20, 110, 10, 250),
)


def test_parts_bound_together_come_from_one_board_though_it_costs_more():
    # Three of 30: two on a short board and one on the other for 200, or all on the long one for 250.
    free = CutJob((Part("ash", 20, 10, 30, 3),), SPLIT, RULES)
    assert [plan.cost for plan in both(free)][1] == 200
    bound = replace(free, parts=(Part("ash", 20, 10, 30, 3, bound="row"),))
    for plan in both(bound):
        assert plan.bound_to == (("ash", "row", "long"),)
        assert plan.cost == 250
    # The floor leaves the wish out, and says so.
    floor = plan_cuts(bound, steps=STEPS).floors[0]
    assert (floor.floor, floor.without) == (200, ("bound",))


def test_where_no_board_gives_all_that_is_bound_it_is_the_wish_that_is_named():
    job = CutJob((Part("ash", 20, 10, 30, 3, bound="row"),), SPLIT[:2], RULES)
    for make in (first_cut_plan, plan_cuts):
        with pytest.raises(CutPlanError, match="No plan was found in which one board of ash") as told:
            make(job)
        assert told.value.field == "bound"


def test_two_rows_may_have_a_board_each():
    parts = tuple(Part("ash", 20, 10, 30, 2, bound=row) for row in ("first row", "second row"))
    for plan in both(CutJob(parts, SPLIT[:2], RULES)):
        assert sorted(board for _, _, board in plan.bound_to) == ["one", "two"]


# Left and right border of a row


def test_borders_cut_side_by_side_are_told_by_the_strip_they_come_from():
    rules = replace(RULES, over_length=1)
    # 20 and 30 side by side, each a unit long, with a cut between: 20 + 1 + 3 + 30 (and 1 more as every part).
    pair = Part("ash", 20, 10, 54, 2, "border", pieces=(20, 30))
    job = CutJob((pair, Part("ash", 20, 10, 54, 1, "rail")), (StockBoard("A", "ash", 64, 200, 10, 100),), rules)
    for plan in both(job):
        told = [one for cut in plan.boards for rough in cut.rough for strip in rough.strips for one in strip.pieces]
        assert sum(times for pieces, times in told if pieces == (20, 30)) == 2
        assert {pieces for pieces, _ in told} == {(20, 30)}


def test_pieces_that_do_not_make_up_their_part_are_refused():
    job = CutJob((Part("ash", 20, 10, 50, 2, "border", pieces=(20, 30)),), SPLIT, RULES)
    with pytest.raises(CutPlanError, match="cut apart into 20 and 30, which make up 53") as told:
        plan_cuts(job)
    assert told.value.field == "parts" and "Make it 53 long" in told.value.mend


# Strips on edge


def test_turned_on_edge_strips_are_as_wide_as_the_parts_are_thick():
    # Parts 20 by 6: from a board that yields 20, on edge, strips of 6 lie side by side; face up there is room for one.
    board = StockBoard("A", "ash", 30, 60, 20, 100)
    job = CutJob((Part("ash", 20, 6, 50, 4),), (board,), RULES, (("ash", "edge"),))
    for plan in both(job):
        assert plan.on_edge == ("ash",)
        rough = plan.boards[0].rough[0]
        # 4 x 6 + 3 x 2 = 30
        assert (rough.thickness, [strip.width for strip in rough.strips]) == (20, [6, 6, 6, 6])
    with pytest.raises(CutPlanError, match="left uncut"):
        plan_cuts(replace(job, ways=()), steps=STEPS)


@pytest.mark.parametrize(("yields", "turned"), [(20, True), (12, False)])
def test_of_either_way_the_cheaper_is_taken_and_both_are_proved(yields, turned):
    boards = tuple(StockBoard(name, "ash", 30, 60, yields, 100) for name in "ABCD")
    job = CutJob((Part("ash", 20, 6, 50, 4),), boards, RULES, (("ash", "either"),))
    for plan in both(job):
        assert plan.on_edge == (("ash",) if turned else ())
        assert plan.cost == (100 if turned else 400)
    floor = plan_cuts(job, steps=STEPS).floors[0]
    assert {floor.prices.way, *(one.way for one in floor.other)} == {"face", "edge"}
    assert floor.floor == (100 if turned else 400)


def test_a_part_no_way_can_make_is_named_by_the_first_way():
    board = StockBoard("A", "ash", 30, 60, 12, 100)
    job = CutJob((Part("ash", 20, 15, 50, 4, "tile"),), (board,), RULES, (("ash", "either"),))
    with pytest.raises(CutPlanError, match="The tile of ash, 20 by 15 by 50, is thicker than the 12") as told:
        first_cut_plan(job)
    assert "Make it 12 thick" in told.value.mend


# Boards resawn

THICK = StockBoard("A", "ash", 20, 60, 24, 100, worth=10, resawn=10)


def test_a_thick_board_resawn_gives_two_layers():
    job = CutJob((Part("ash", 20, 10, 50, 2),), (THICK,), RULES)
    for plan in both(job):
        rough = plan.boards[0].rough[0]
        assert rough.resawn
        assert rough.strips == rough.under
    with pytest.raises(CutPlanError, match="1 pieces were left uncut"):
        plan_cuts(replace(job, stock=(replace(THICK, resawn=9),)), steps=STEPS)


def test_the_second_layer_is_kept_for_half_where_only_one_is_wanted():
    job = CutJob((Part("ash", 20, 10, 50, 1),), (THICK,), RULES)
    plan = plan_cuts(job, steps=STEPS)
    assert faults_of(plan, job) == ()
    # The rough length is left as long as the board, for the layer's sake: 20 by 60, at 10 // 2 for 100 square units.
    assert [(o.kind, o.width, o.length, o.credit) for o in plan.offcuts] == [("layer", 20, 60, 60)]
    assert (plan.cost, plan.floor) == (40, 40)
