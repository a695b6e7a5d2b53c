"""What the maker calls too short, too narrow or too thin to be held is in no plan, and the checker knows of it."""

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
from planner.cutting.plan.worth import settle
from tests.planner.cutting.plan.making import plausible

RULES = Rules(crosscut_kerf=3, rip_kerf=3, grid=5, over_width=1, shortest_rough=120, narrowest=15, thinnest=8)
JOB = CutJob((Part("ash", 20, 10, 30, 2, "tile"),), (StockBoard("A", "ash", 60, 400, 20, 1000),), RULES)


def cut(rough, job=JOB):
    return settle([BoardCut("A", (rough,))], {board.name: board for board in job.stock}, job.rules)


def test_a_rough_length_is_no_shorter_than_what_is_milled():
    for plan in (first_cut_plan(JOB), plan_cuts(JOB, steps=8)):
        # Two tiles ask for 30 + 3 + 30 = 63; no less than 120 goes through the machines.
        assert [rough.length for cut in plan.boards for rough in cut.rough if rough.strips] == [120]


@pytest.mark.parametrize(
    ("rules", "words"),
    [
        ({"shortest_rough": 125}, "nothing shorter than 125 is milled"),
        ({"narrowest": 22}, "nothing narrower than 22 is ripped"),
        ({"thinnest": 11}, "nothing thinner than 11 is milled"),
    ],
)
def test_the_checker_knows_each_limit(rules, words):
    plan = cut(RoughCut(120, 10, (StripCut(20, ((30, 2),)),)))
    assert faults_of(plan, JOB) == ()
    assert words in " ".join(faults_of(plan, replace(JOB, rules=replace(RULES, **rules))))


@pytest.mark.parametrize(
    ("rules", "said", "change", "field"),
    [
        ({"narrowest": 22}, "a strip 21u wide; nothing narrower than 22u", "Make it 21u wide", "narrowest"),
        ({"thinnest": 11}, "thinner than 11u", "Make it 11u thick", "thinnest"),
        ({"shortest_rough": 500}, "nothing shorter than 500u is milled", "Buy a board 500u long", "shortest_rough"),
        ({"shortest_rough": 200, "longest_rip": 150}, "nothing longer than 150u", "one of the two", "shortest_rough"),
    ],
)
def test_a_part_no_limit_lets_through_is_named_with_the_nearest_change(rules, said, change, field):
    job = replace(JOB, rules=replace(RULES, **rules))
    for make in (first_cut_plan, plan_cuts):
        with pytest.raises(CutPlanError) as told:
            make(job, says=lambda units: f"{units}u")
        assert said in told.value.what
        assert change in told.value.mend
        assert told.value.field == field


@pytest.mark.parametrize("seed", range(3))
def test_with_a_least_rough_length_plans_are_sound_and_their_floors_are_proved(seed):
    job = plausible(seed)
    held = replace(job, rules=replace(job.rules, shortest_rough=768))
    plan = plan_cuts(held, steps=12)
    assert faults_of(plan, held) == ()
    assert [prove(one.prices, held) for one in plan.floors] == [one.floor for one in plan.floors]
    assert min(rough.length for cut in plan.boards for rough in cut.rough if rough.strips) >= 768
