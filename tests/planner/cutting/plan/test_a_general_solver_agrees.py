"""Small jobs cost what a general solver finds for them by a model of its own, and what it says is summed anew.

The model (``tests.support.compact``) has a variable for every saw cut; jobs are those in which offcuts are worth
nothing, where it is exact. The solver is HiGHS, without a start.
"""

import random

import pytest

from planner.cutting.plan import CutJob, CutPlanError, Part, Rules, StockBoard, faults_of, first_cut_plan, plan_cuts
from tests.support.compact import by_a_general_solver
from tests.support.cut_makers import known_optimum


def small(seed: int) -> CutJob:
    """Two or three sizes of part in one or two sections, from three boards of which seldom all are needed."""
    rng = random.Random(f"small {seed}")
    rules = Rules(
        crosscut_kerf=rng.choice((2, 3)),
        rip_kerf=rng.choice((2, 3)),
        grip=rng.choice((0, 0, 12)),
        longest_rip=rng.choice((0, 80)),
        grid=10,
        over_length=rng.choice((0, 1)),
    )
    sections = rng.sample(((20, 10), (14, 10), (20, 15)), rng.choice((1, 1, 2)))
    parts = tuple(
        Part("ash", *section, length, rng.randint(1, 4))
        for section in sections
        for length in rng.sample((15, 22, 27, 34, 41), 2)
    )
    boards = []
    for i in range(3):
        width, length = rng.choice((24, 44, 50)), rng.randrange(60, 140, 5)
        boards.append(StockBoard(f"{i}", "ash", width, length, 15, width * length * rng.randint(8, 12) // 100))
    return CutJob(parts, tuple(boards), rules)


def makeable(count: int):
    seeds, seed = [], 0
    while len(seeds) < count:
        try:
            first_cut_plan(small(seed))
            seeds.append(seed)
        except CutPlanError:
            pass
        seed += 1
    return seeds


@pytest.mark.parametrize("seed", makeable(14))
def test_a_small_job_costs_what_a_general_solver_finds(seed):
    job = small(seed)
    theirs, ended = by_a_general_solver(job, seconds=30, lengths=4)
    assert ended and faults_of(theirs, job) == ()
    plan = plan_cuts(job)
    assert plan.floor <= theirs.cost
    assert plan.cost == theirs.cost


@pytest.mark.parametrize("seed", (0, 1, 3, 5))
def test_where_nothing_need_be_lost_the_optimum_that_was_built_in_is_found_and_proved(seed):
    job, optimum = known_optimum(seed, boards=2)
    plan = plan_cuts(job, steps=400)
    assert faults_of(plan, job) == ()
    assert (plan.floor, plan.cost) == (optimum, optimum)


def test_a_large_job_in_which_nothing_need_be_lost_is_cut_without_loss():
    # 243 parts of eighteen sizes out of three boards; longest first loses more than a tenth.
    job, optimum = known_optimum(14)
    plan = plan_cuts(job, steps=200)
    assert plan.floor == plan.cost == optimum < first_cut_plan(job).cost * 9 // 10
