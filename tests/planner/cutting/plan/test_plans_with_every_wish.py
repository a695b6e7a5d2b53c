"""What holds of every plan, whatever was wished: it can be cut, it is no cheaper than its floor, it goes out and in."""

from dataclasses import replace

import pytest

from planner.cutting.plan import (
    CutFile,
    FloorError,
    faults_of,
    first_cut_plan,
    from_json,
    plan_cuts,
    prove_floor,
    to_json,
)
from tests.planner.cutting.plan.wished import wished

SEEDS = range(8)
STEPS = 14


@pytest.fixture(scope="module")
def plans():
    return {seed: plan_cuts(wished(seed), steps=STEPS) for seed in SEEDS}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_plan_can_be_cut_is_no_dearer_than_the_first_and_proves_its_floor(plans, seed):
    job, plan = wished(seed), plans[seed]
    first = first_cut_plan(job)
    assert faults_of(first, job) == faults_of(plan, job) == ()
    assert plan.floor <= plan.cost <= first.cost
    assert [prove_floor(one, job) for one in plan.floors] == [one.floor for one in plan.floors]


@pytest.mark.parametrize("seed", SEEDS)
def test_it_goes_out_and_comes_back(plans, seed):
    file = CutFile(wished(seed), plans[seed], "1/64 in", "1/10000 dollar")
    assert from_json(to_json(file)) == file


def test_among_the_jobs_every_wish_is_in_use(plans):
    cuts = [(wished(seed), plan) for seed, plan in plans.items()]
    rough = [one for _, plan in cuts for cut in plan.boards for one in cut.rough]
    assert any(plan.on_edge for _, plan in cuts)
    assert any(plan.bound_to for _, plan in cuts)
    assert any(one.under for one in rough)
    assert any(strip.pieces for one in rough for strip in (*one.strips, *one.under))
    used = {(job.stock, cut.board) for job, plan in cuts for cut in plan.boards}
    assert any(board.bad and (job.stock, board.name) in used for job, _ in cuts for board in job.stock)
    assert any(part.shade for job, _ in cuts for part in job.parts)


@pytest.mark.parametrize("seed", SEEDS[::2])
def test_who_wishes_for_less_pays_no_more(plans, seed):
    """What is proved of a job without a wish holds for the plan that keeps it."""
    job, cost = wished(seed), plans[seed].cost
    clear = tuple(replace(board, bad=()) for board in job.stock)
    any_shade = tuple(replace(part, shade="") for part in job.parts)
    loose = tuple(replace(part, bound="") for part in job.parts)
    for freer in (replace(job, stock=clear), replace(job, parts=any_shade), replace(job, parts=loose)):
        assert plan_cuts(freer, steps=6).floor <= cost


@pytest.mark.parametrize("seed", SEEDS)
def test_a_proof_is_for_its_own_job_only(plans, seed):
    job, plan = wished(seed), plans[seed]
    wood = plan.floors[0].wood
    floor = plan.floors[0]
    others = {
        "a board less": replace(job, stock=tuple(b for b in job.stock if b.wood != wood)),
        "a shade more": replace(
            job, parts=tuple(replace(p, shade="light") if p.wood == wood else p for p in job.parts)
        ),
        "another way": replace(job, ways=((wood, "face" if floor.other else "either"),)),
        "another board": replace(job, stock=tuple(replace(b, name=f"{b.name} too") for b in job.stock)),
    }
    for other in others.values():
        with pytest.raises(FloorError):
            prove_floor(floor, other)


# Planned again in other processes too (test_runs_alike).
@pytest.mark.parametrize("seed", SEEDS[:1])
def test_equal_steps_give_an_equal_plan(plans, seed):
    assert plan_cuts(wished(seed), steps=STEPS) == plans[seed]
