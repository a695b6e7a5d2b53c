"""The best plan in whole numbers out of given columns, by the solver (``planner.cutting.plan.master`` on trusting it).

A model of its own each time, with no starting solution, so that it never slows the relaxations down.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from planner.cutting.plan.master import DEAREST, Column, entries_of, quiet
from planner.cutting.plan.problem import Problem


def whole_plan(
    problem: Problem, columns: Sequence[tuple[Column, int]], looks: int, keep_going: Callable[[], bool]
) -> tuple[dict[Column, int], bool]:
    """How many of which of the ``columns``, given with their costs, make every part at the least cost the solver finds
    before it has looked up ``looks`` times whether to stop; empty if it finds none. And whether its search came to its
    end. It looks up at the same points of its work on every machine; ``keep_going`` is asked each time too, a clock
    of the solver's own never ends it.
    """
    import highspy
    import numpy as np

    inf = highspy.kHighsInf
    unit = max(*(kind.cost for kind in problem.kinds), 1) / DEAREST
    lower = [0.0] * len(problem.kinds) + [float(need) for need in problem.demand]
    upper = [float(len(kind.names)) for kind in problem.kinds] + [inf] * len(problem.demand)
    rows: dict[object, int] = {}
    starts, index, value = [0], [], []
    for column, _ in columns:
        for key, times in entries_of(column, problem):
            if isinstance(key, int):
                row = key
            else:
                row = rows.setdefault(key, len(rows) + len(problem.kinds) + len(problem.demand))
            index.append(row)
            value.append(float(times))
        starts.append(len(index))
    model: Any = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(columns), len(lower) + len(rows)
    model.col_cost_ = np.array([cost / unit for _, cost in columns])
    model.col_lower_, model.col_upper_ = np.zeros(len(columns)), np.full(len(columns), inf)
    model.row_lower_ = np.array(lower + [0.0] * len(rows))
    model.row_upper_ = np.array(upper + [inf] * len(rows))
    model.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    model.a_matrix_.start_ = np.array(starts, dtype=np.int32)
    model.a_matrix_.index_ = np.array(index, dtype=np.int32)
    model.a_matrix_.value_ = np.array(value)
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(columns)
    fresh: Any = highspy.Highs
    highs = fresh()
    quiet(highs)
    highs.passModel(model)
    highs.setOptionValue("mip_rel_gap", 0.0)
    highs.setOptionValue("mip_heuristic_effort", 0.2)
    looked = 0

    def look(event: Any) -> None:
        nonlocal looked
        looked += 1
        if looked > looks or not keep_going():
            event.interrupt()

    highs.cbMipInterrupt.subscribe(look)
    highs.run()
    ended = highs.getModelStatus() in (highspy.HighsModelStatus.kOptimal, highspy.HighsModelStatus.kInfeasible)
    if highs.getInfo().primal_solution_status != 2:
        return {}, ended
    values = [round(one) for one in highs.getSolution().col_value]
    return {column: times for (column, _), times in zip(columns, values, strict=True) if times > 0}, ended
