"""The cutting of one wood as a general solver would be given it: every saw cut that may be made is a variable.

Nothing of the planner's columns, prices or boxes is in it. For each board so many rough lengths, for each of these so
many strips of each section, for each strip how many of each part. The kept end of a board earns its credit here; what
edges and tails are worth is no linear sum and is counted only when the plan is summed in whole numbers afterwards, so
the model is exact where offcuts are worth nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import highspy
import numpy as np

from planner.cutting.plan import BoardCut, CutJob, CutPlan, RoughCut, StockBoard, StripCut
from planner.cutting.plan.worth import settle

_INF = highspy.kHighsInf


@dataclass
class _Model:
    """Variables with their most and cost, and rows of at most."""

    most: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[dict[int, float], float, float]] = field(default_factory=list)

    def variable(self, most: float, cost: float = 0.0, whole: bool = True) -> int:
        self.most.append(most)
        self.cost.append(cost)
        self.whole.append(whole)
        return len(self.most) - 1

    def at_most(self, terms: dict[int, float], most: float) -> None:
        self.rows.append((terms, -_INF, most))

    def at_least(self, terms: dict[int, float], least: float) -> None:
        self.rows.append((terms, least, _INF))

    def solved(self, seconds: float) -> tuple[list[int], bool]:
        """Whole values of all variables, empty if there are none, and whether they are proved to be the best."""
        highs: Any = highspy.Highs()
        for option, value in (("output_flag", False), ("threads", 1), ("mip_rel_gap", 0.0), ("time_limit", seconds)):
            highs.setOptionValue(option, value)
        for most, cost in zip(self.most, self.cost, strict=True):
            highs.addCol(cost, 0.0, float(most), 0, [], [])
        for terms, least, most in self.rows:
            highs.addRow(least, most, len(terms), list(terms), list(terms.values()))
        kinds = [highspy.HighsVarType.kInteger if one else highspy.HighsVarType.kContinuous for one in self.whole]
        highs.changeColsIntegrality(len(kinds), np.arange(len(kinds), dtype=np.int32), np.array(kinds))
        highs.run()
        ended = highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
        if highs.getInfo().primal_solution_status != 2:
            return [], ended
        return [round(value) for value in highs.getSolution().col_value], ended


@dataclass
class _Rough:
    on: int
    steps: int
    # (width, thickness), the variable that says the strip is ripped, and one a part: (length, how many)
    strips: list[tuple[tuple[int, int], int, list[tuple[int, int]]]]


def by_a_general_solver(job: CutJob, seconds: float, lengths: int) -> tuple[CutPlan | None, bool]:
    """The plan for a job of one wood with at most so many rough ``lengths`` a board, summed anew in whole numbers, and
    whether the solver says that it is the best. Knows neither snipe nor wishes, bad wood or resawing."""
    rules, model = job.rules, _Model()
    wanted: dict[tuple[int, int], dict[int, int]] = {}
    for part in job.parts:
        of = wanted.setdefault((part.width, part.thickness), {})
        of[part.length] = of.get(part.length, 0) + part.count
    made: dict[tuple[tuple[int, int], int], dict[int, float]] = {}
    unit = max(board.cost for board in job.stock) / 100
    built: list[tuple[StockBoard, list[_Rough]]] = []
    for board in job.stock:
        along, across = board.length - 2 * rules.end_trim, board.width - 2 * rules.edge_trim
        if min(along, across) <= 0:
            continue
        used = model.variable(1, board.cost / unit)
        room = {used: -float(along + rules.crosscut_kerf)}
        roughs = [_rough(board, across, along, wanted, made, job, model) for _ in range(lengths)]
        for one in roughs:
            room |= {one.steps: float(rules.grid), one.on: float(rules.crosscut_kerf)}
        model.at_most(dict(room), 0)
        for one, other in pairwise(roughs):
            model.at_most({other.steps: 1.0, one.steps: -1.0}, 0)
        if board.worth and across >= rules.keep_width:
            rate = across * board.worth / rules.worth_area / unit
            end, kept = model.variable(along, -rate, whole=False), model.variable(1)
            model.at_most({**room, end: 1.0, used: -float(along)}, 0)
            model.at_most({end: 1.0, kept: -float(along)}, 0)
            model.at_least({end: 1.0, kept: -float(max(rules.keep_length, 1))}, 0)
        built.append((board, roughs))
    for section, counts in wanted.items():
        for length, count in counts.items():
            model.at_least(made.get((section, length), {}), count)
    values, ended = model.solved(seconds)
    if not values:
        return None, ended
    left = {(section, length): n for section, counts in wanted.items() for length, n in counts.items()}
    cuts = [_cut(board, roughs, values, left, job) for board, roughs in built]
    shelf = {board.name: board for board in job.stock}
    return settle([cut for cut in cuts if any(one.strips for one in cut.rough)], shelf, rules), ended


def _rough(
    board: StockBoard,
    across: int,
    along: int,
    wanted: dict[tuple[int, int], dict[int, int]],
    made: dict[tuple[tuple[int, int], int], dict[int, float]],
    job: CutJob,
    model: _Model,
) -> _Rough:
    rules = job.rules
    steps = min(along, rules.longest_rip or along) // rules.grid
    on, length = model.variable(1), model.variable(steps)
    model.at_most({length: 1.0, on: -float(steps)}, 0)
    milled = {t: model.variable(1) for t in {section[1] for section in wanted} if t <= board.yields}
    model.at_most({**dict.fromkeys(milled.values(), 1.0), on: -1.0}, 0)
    # A strip's last part needs no cut behind it where nothing is held.
    free = -rules.grip if rules.grip else rules.crosscut_kerf
    far = steps * rules.grid + abs(free)
    side: dict[int, float] = {}
    strips = []
    for section, counts in wanted.items():
        takes = section[0] + rules.over_width + rules.rip_kerf
        if section[1] not in milled:
            continue
        for _ in range((across + rules.rip_kerf) // takes):
            ripped = model.variable(1)
            side[ripped] = float(takes)
            model.at_most({ripped: 1.0, milled[section[1]]: -1.0}, 0)
            parts = [(size, model.variable(count)) for size, count in counts.items()]
            slots = {at: float(size + rules.over_length + rules.crosscut_kerf) for size, at in parts}
            model.at_most({**slots, ripped: -float(far)}, 0)
            model.at_most({**slots, length: -float(rules.grid), ripped: float(far)}, free + far)
            for size, at in parts:
                made.setdefault((section, size), {})[at] = 1.0
            strips.append((section, ripped, parts))
    model.at_most(side, across + rules.rip_kerf)
    return _Rough(on, length, strips)


def _cut(
    board: StockBoard,
    roughs: list[_Rough],
    values: list[int],
    left: dict[tuple[tuple[int, int], int], int],
    job: CutJob,
) -> BoardCut:
    rules, at, made = job.rules, job.rules.end_trim, []
    for one in roughs:
        strips, thickness = [], 0
        for section, _, parts in one.strips:
            taken = []
            for size, which in parts:
                count = min(values[which], left[section, size])
                left[section, size] -= count
                if count:
                    taken.append((size, count))
            if taken:
                strips.append(StripCut(section[0], tuple(taken)))
                thickness = section[1]
        if strips:
            made.append(RoughCut(values[one.steps] * rules.grid, thickness, tuple(strips), at))
            at += made[-1].length + rules.crosscut_kerf
    rest = board.length - rules.end_trim - at
    if made and rest >= max(rules.keep_length, 1):
        made.append(RoughCut(rest, 0, (), at))
    return BoardCut(board.name, tuple(made))
