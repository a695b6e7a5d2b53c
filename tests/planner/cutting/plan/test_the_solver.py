"""The solver behind the cut plan is one whose answers were looked at, and it is fetched only when one plans."""

import subprocess
import sys
from importlib.metadata import version
from typing import Any

import highspy
import numpy as np

from planner.cutting.plan import faults_of, first_cut_plan, plan_cuts, prove_floor, search
from planner.cutting.plan.search import WoodSearch
from tests.planner.cutting.plan.making import plausible


def whole(master, start: int | None) -> float:
    """The optimum in whole numbers of the columns found, from a feasible start or none."""
    highs: Any = highspy.Highs()
    for option, value in (("output_flag", False), ("threads", 1), ("mip_rel_gap", 0.0)):
        highs.setOptionValue(option, value)
    model = master._highs.getLp()
    highs.passModel(model)
    kind = np.array([highspy.HighsVarType.kInteger] * model.num_col_)
    highs.changeColsIntegrality(model.num_col_, np.arange(model.num_col_, dtype=np.int32), kind)
    if start is not None:
        values = [0.0] * model.num_col_
        values[: len(master.problem.demand)] = [float(need) for need in master.problem.demand]
        solution = highspy.HighsSolution()
        solution.col_value = values
        highs.setSolution(solution)
    highs.run()
    chosen = [round(v) for v in highs.getSolution().col_value]
    told = highs.getInfo().objective_function_value
    summed = sum(cost * times for cost, times in zip(model.col_cost_, chosen, strict=True))
    assert abs(told - summed) < 1e-5, "the solver's sum is not that of its own answer"
    return told


def test_a_start_changes_nothing_of_the_optimum():
    """Release 1.16.0 called a wrong plan optimal when it was given a start and its presolve was on."""
    major, minor = (int(n) for n in version("highspy").split(".")[:2])
    assert (1, 12) <= (major, minor) < (1, 16)
    job = plausible(2, woods=1)
    wood = job.parts[0].wood
    search = WoodSearch(wood, job.parts, job.stock, job.rules)
    for _ in range(12):
        search.step(lambda: True)
    assert abs(whole(search._master, None) - whole(search._master, 0)) < 1e-5


def test_reading_the_planner_does_not_fetch_the_solver():
    code = "import planner.cutting.plan, sys; sys.exit('highspy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_solver_that_answers_nonsense_spoils_neither_plan_nor_floor(monkeypatch):
    """What it says is summed anew in whole numbers and has to pass the checker, as if it came from a stranger."""
    asked = []

    def one_cut_is_enough(problem, columns, looks, keep_going):
        asked.append(len(columns))
        return {columns[len(asked) % len(columns)][0]: 1}, True

    monkeypatch.setattr(search, "whole_plan", one_cut_is_enough)
    job = plausible(2, woods=1)
    plan = plan_cuts(job, steps=60)
    assert asked and faults_of(plan, job) == ()
    assert prove_floor(plan.floors[0], job) >= plan.floor
    assert plan.floor <= plan.cost <= first_cut_plan(job).cost
