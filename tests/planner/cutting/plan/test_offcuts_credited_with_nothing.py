"""An offcut large enough to keep goes back to the rack, whether or not the maker's rule credits it with anything."""

from dataclasses import replace

import pytest

from planner.cutting.plan import CutJob, Offcut, Part, Rules, StockBoard, faults_of, first_cut_plan, plan_cuts
from planner.cutting.plan.worth import settle

RULES = Rules(crosscut_kerf=3, rip_kerf=3, grid=5, keep_length=300, keep_width=40, worth_area=1000)
BOARD = StockBoard("W1", "walnut", 150, 2000, 25, 5000)


def job(worth):
    return CutJob((Part("walnut", 20, 20, 17, 30),), (replace(BOARD, worth=worth),), RULES)


@pytest.mark.parametrize("plans", [first_cut_plan, lambda wanted: plan_cuts(wanted, steps=30)])
def test_what_is_large_enough_is_named_with_a_credit_of_nothing(plans):
    plan = plans(job(0))
    assert plan.offcuts
    assert plan.credit == 0
    for offcut in plan.offcuts:
        assert offcut.credit == 0
        assert offcut.length >= RULES.keep_length
        assert offcut.width >= RULES.keep_width
    assert faults_of(plan, job(0)) == ()


def test_the_same_cuts_leave_the_same_large_pieces_whatever_they_are_worth():
    paid = first_cut_plan(job(2))
    free = settle(paid.boards, {"W1": job(0).stock[0]}, RULES)
    large = [(o.kind, o.width, o.length) for o in paid.offcuts if o.width >= RULES.keep_width]
    assert large
    assert [(o.kind, o.width, o.length) for o in free.offcuts] == large


def test_a_plan_may_leave_them_unnamed_and_may_make_none_up():
    plan = first_cut_plan(job(0))
    assert faults_of(replace(plan, offcuts=()), job(0)) == ()
    made_up = Offcut("W1", 0, "edge", 149, 1999, 0)
    assert faults_of(replace(plan, offcuts=(*plan.offcuts, made_up)), job(0))
