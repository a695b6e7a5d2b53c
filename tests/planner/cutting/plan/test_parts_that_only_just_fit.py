"""Parts that only just fit one board: habit, which opens the boards in an order of its own, would open a dearer one."""

from dataclasses import replace

from planner.cutting.plan import faults_of, first_cut_plan, plan_cuts
from tests.support.cut_makers import realistic


def test_they_are_laid_into_the_very_board_the_floor_says_could_hold_them():
    job = realistic(32000, (32, 32))
    one = [part for part in job.parts if part.wood == "purpleheart"]
    tight = replace(job, parts=tuple(one), stock=tuple(b for b in job.stock if b.wood == "purpleheart"))
    assert first_cut_plan(tight).cost > 880_000
    plan = plan_cuts(tight, steps=50)
    assert faults_of(plan, tight) == ()
    assert [cut.board for cut in plan.boards] == ["purpleheart 4"]
    assert plan.cost <= plan.floor * 1.02
