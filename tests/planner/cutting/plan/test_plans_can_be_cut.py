"""Every plan can be cut as it says, costs what it says, and stands between its floor and the plain habit."""

from dataclasses import replace

import pytest

from planner.cutting.plan import (
    BoardCut,
    CutJob,
    CutPlanError,
    Part,
    RoughCut,
    Rules,
    StockBoard,
    StripCut,
    faults_of,
    first_cut_plan,
    plan_cuts,
    prove,
)
from planner.cutting.plan.clear import end_to_end
from planner.cutting.plan.worth import settle
from tests.planner.cutting.plan.making import known, plausible

STEPS = 24


@pytest.mark.parametrize("seed", range(4))
def test_a_plan_passes_the_checker_and_lies_between_its_floor_and_the_first_plan(seed):
    job = plausible(seed)
    first, plan = first_cut_plan(job), plan_cuts(job, steps=STEPS)
    assert faults_of(first, job) == faults_of(plan, job) == ()
    assert 0 < plan.floor <= plan.cost <= first.cost


@pytest.mark.parametrize("seed", range(3))
def test_the_floor_is_proved_anew_from_its_prices_alone(seed):
    job = plausible(seed)
    plan = plan_cuts(job, steps=STEPS)
    assert [prove(one.prices, job) for one in plan.floors] == [one.floor for one in plan.floors]


@pytest.mark.parametrize("seed", range(3))
def test_where_nothing_need_be_lost_no_plan_undercuts_the_optimum_and_the_floor_does_not_pass_it(seed):
    job, optimum = known(seed)
    plan = plan_cuts(job, steps=STEPS)
    assert plan.floor <= optimum <= plan.cost <= first_cut_plan(job).cost
    # The relaxation of these is tight, so the floor is reached to the unit.
    assert plan.floor == optimum


def test_equal_steps_give_an_equal_plan():
    job = plausible(3)
    assert plan_cuts(job, steps=16) == plan_cuts(job, steps=16)


def test_the_search_stops_when_told_to_and_the_plan_so_far_stands():
    job = plausible(1)
    asked = []

    def twice():
        asked.append(1)
        return len(asked) <= 2

    assert plan_cuts(job, keep_going=twice).cost <= first_cut_plan(job).cost
    assert len(asked) <= 4


def test_every_plan_told_on_the_way_is_no_worse_than_the_one_before():
    told = []
    job = plausible(4)
    last = plan_cuts(job, steps=STEPS, tell=told.append)
    costs = [plan.cost for plan in told]
    floors = [plan.floor for plan in told]
    assert costs == sorted(costs, reverse=True)
    assert floors == sorted(floors)
    assert (costs[-1], floors[-1]) == (last.cost, last.floor)


@pytest.mark.parametrize("seed", (0, 2))
def test_with_more_stock_no_floor_lies_above_what_less_stock_was_cut_for(seed):
    job = plausible(seed, woods=1)
    plan = plan_cuts(job, steps=12)
    more = replace(job, stock=(*job.stock, *(replace(board, name=f"{board.name} more") for board in job.stock)))
    assert plan_cuts(more, steps=12).floor <= plan.cost


# The checker finds what is wrong

RULES = Rules(
    crosscut_kerf=3, rip_kerf=3, end_trim=10, edge_trim=5, snipe=4, grip=20, longest_rip=300, grid=5, keep_length=40,
    keep_width=10, worth_area=100, over_width=1, over_length=2,
)  # fmt: skip
JOB = CutJob((Part("ash", 20, 15, 50, 3),), (StockBoard("A", "ash", 60, 400, 20, 1000, 5),), RULES)


def plan_of(*rough, job=JOB):
    return settle([end_to_end(BoardCut("A", rough), job.rules)], {board.name: board for board in job.stock}, job.rules)


# 4 snipe + 3 its cut + 3 x (50 + 2 + 3) + 20 grip = 192, in steps of 5
SOUND = RoughCut(195, 15, (StripCut(20, ((50, 3),)),))


def test_a_sound_plan_has_no_fault_and_its_offcuts_are_what_is_left():
    plan = plan_of(SOUND, RoughCut(182, 0, ()))
    assert faults_of(plan, JOB) == ()
    # Beside the strip 50 - 21 - 3 = 26; the board's end 400 - 20 - 195 - 3 = 182, both at 5 for 100 square units.
    assert [(o.kind, o.width, o.length, o.credit) for o in plan.offcuts] == [
        ("edge", 26, 195, 26 * 195 * 5 // 100),
        ("end", 50, 182, 50 * 182 * 5 // 100),
    ]


@pytest.mark.parametrize(
    ("rough", "words"),
    [
        ([RoughCut(190, 15, SOUND.strips)], "part 3 is cut at"),
        ([RoughCut(196, 15, SOUND.strips)], "not in steps of 5"),
        ([RoughCut(305, 15, SOUND.strips)], "no more than 300 is ripped"),
        ([RoughCut(195, 21, SOUND.strips)], "the board yields 20"),
        ([SOUND, RoughCut(183, 0, ())], "beyond 390"),
        ([RoughCut(195, 15, (*SOUND.strips, *SOUND.strips, *SOUND.strips))], "strip 3 ends"),
        ([RoughCut(195, 15, (StripCut(20, ((50, 2),)),))], "2 are cut; 3 are wanted"),
        ([RoughCut(195, 15, (StripCut(19, ((50, 3),)),))], "3 are cut; 0 are wanted"),
    ],
)
def test_a_plan_that_cannot_be_cut_is_told_why(rough, words):
    assert words in " ".join(faults_of(plan_of(*rough), JOB))


def test_wood_invented_money_invented_and_boards_cut_twice_are_found():
    plan = plan_of(SOUND)
    assert "cost is" in faults_of(replace(plan, boards_cost=1), JOB)[0]
    assert "offcuts" in faults_of(replace(plan, offcuts=plan.offcuts * 2), JOB)[0]
    assert "cut twice" in faults_of(replace(plan, boards=plan.boards * 2), JOB)[0]
    assert "no board B" in faults_of(replace(plan, boards=(BoardCut("B", (SOUND,)),)), JOB)[0]


def test_snipe_oversize_and_grip_count_in_a_planned_cut_too():
    plan = plan_cuts(JOB, steps=STEPS)
    assert faults_of(plan, JOB) == ()
    assert prove(plan.floors[0].prices, JOB) == plan.floor <= plan.cost


# What cannot be made is named


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (Part("elm", 20, 15, 50, 1, "tile"), "no elm in stock"),
        (Part("ash", 20, 25, 50, 1, "tile"), "thicker than the 20"),
        (Part("ash", 50, 15, 50, 1, "tile"), "wider than the 49"),
        (Part("ash", 20, 15, 280, 1, "border"), "no more than 300 is ripped"),
        (Part("ash", 20, 15, 50, 40, "tile"), "were left uncut"),
    ],
)
def test_what_cannot_be_made_is_named_with_its_limit_and_a_mend(part, words):
    with pytest.raises(CutPlanError) as told:
        plan_cuts(replace(JOB, parts=(part,)), steps=STEPS)
    assert words in str(told.value)
    assert told.value.mend and told.value.field


def test_a_part_too_long_for_every_board_is_named():
    with pytest.raises(CutPlanError, match="join it from two"):
        first_cut_plan(replace(JOB, parts=(Part("ash", 20, 15, 380, 1),), rules=replace(RULES, longest_rip=0)))
