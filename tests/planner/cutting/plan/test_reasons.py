"""The floor comes with its reason, in a sentence whose numbers are those of the proof."""

import re

from planner.cutting.plan import CutJob, Part, Rules, StockBoard, first_cut_plan, plan_cuts, prove
from planner.cutting.plan.reason import floor_reason, gap_reason
from planner.cutting.plan.terms import SCALE

RULES = Rules(crosscut_kerf=2, rip_kerf=2, grid=10, worth_area=100)


def euros(units: int) -> str:
    return f"€{units}"


def planned(*parts: Part, boards: tuple[tuple[int, int, int], ...]):
    stock = tuple(StockBoard(f"{i}", "ash", width, length, 10, cost) for i, (width, length, cost) in enumerate(boards))
    job = CutJob(parts, stock, RULES)
    return job, plan_cuts(job)


def test_where_one_price_a_part_proves_it_no_board_is_said_to_be_worth_more_than_it_costs():
    # Two boards alike hold two parts each and nothing is lost: half a board's cost is the price of a part.
    job, plan = planned(Part("ash", 20, 10, 39, 4), boards=((20, 80, 100), (20, 80, 100)))
    (floor,) = plan.floors
    assert (plan.cost, floor.floor, len(floor.prices.leaves)) == (200, 200, 1)
    (price,) = floor.prices.leaves[0].prices
    told = floor_reason(floor, job, euros)
    # By that price no board is worth more than it costs, and the parts together are worth the sum that is said.
    assert 2 * price <= 100 * SCALE and 4 * price > 199 * SCALE
    assert told.startswith("At these prices of a part no board of ash on the rack is worth more than it costs")
    assert "worth €200 by them" in told
    assert gap_reason(plan, euros) == "The plan costs just that: there is none cheaper."


def test_where_plans_were_cut_apart_the_cases_are_counted_and_what_tells_them_apart_is_named():
    # One part wants a fifth of a board, and a board is bought whole.
    job, plan = planned(Part("ash", 20, 10, 20, 1), boards=((20, 110, 100), (42, 110, 190)))
    (floor,) = plan.floors
    leaves = floor.prices.leaves
    assert plan.cost == floor.floor == prove(floor.prices, job) == 100 and len(leaves) > 1
    told = floor_reason(floor, job, euros)
    assert re.search(rf"one of {len(leaves)} cases, told apart by how many boards of each kind are opened", told)
    assert "less than €100" in told


def test_the_gap_is_what_the_plan_costs_above_the_floor_and_never_said_too_small():
    job, plan = planned(Part("ash", 20, 10, 20, 1), boards=((20, 110, 100),))
    first = first_cut_plan(job)
    assert gap_reason(first) == "What no plan can undercut is not known yet."
    dearer = type(plan)(plan.boards, plan.offcuts, 1031, plan.credit, plan.floors)
    assert plan.floor == 100
    assert "€931 more, 931.0 % of that" in gap_reason(dearer, euros)
    slightly = type(plan)(plan.boards, plan.offcuts, 101, plan.credit, plan.floors)
    assert "€1 more, 1.0 % of that" in gap_reason(slightly, euros)
