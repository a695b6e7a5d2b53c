"""The master problem: which of the cuts found so far, and how many of each, at the least cost.

Rows: boards of each kind used; rough lengths made and ripped; strips made and crosscut; parts. Columns: ways to cut
a board, a rough length, a strip, and an artificial column for every part that stands for what no cut gives yet.

The library that solves it (HiGHS, by ``highspy``) works in floating point, so nothing it says of costs or bounds is
believed: its prices are rounded to whole numbers and the floor proved from those, its plans are summed anew. It is
given no starting solution: release 1.16.0 returned a wrong optimum with one (see requirements.txt).
"""

from __future__ import annotations

from collections.abc import Callable, Container
from dataclasses import dataclass
from typing import Any

from planner.cutting.plan.boxes import ANY, WHOLE, Box, Count
from planner.cutting.plan.pricing import BoardCol, RoughCol, StripCol
from planner.cutting.plan.problem import Family, Problem, Stuff
from planner.cutting.plan.terms import SCALE
from planner.cutting.plan.worth import credit, slot

Column = BoardCol | RoughCol | StripCol
# A part no cut gives costs this many of the dearest board, so that it is left out wherever it can be.
_MISSING = 20
# The dearest board stands for this much in the solver, which likes numbers near one.
_DEAREST = 100.0


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A solved relaxation. ``parts`` prices in the order of ``problem.sizes``, ``boards``, ``rough`` and ``strips`` of
    their rows, ``paid`` what each of what is counted costs beside, all in 1/SCALE of a money unit; ``used`` boards of
    each kind, with fractions; ``value`` about what it costs, in the solver's own unit; ``missing`` parts."""

    parts: list[int]
    boards: list[int]
    rough: dict[tuple[Family, int], int]
    strips: dict[tuple[int, Stuff, int], int]
    used: list[float]
    paid: dict[Count, int]
    value: float
    missing: float


class Master:
    """The columns found so far for one wood's ``problem``."""

    def __init__(self, problem: Problem) -> None:
        import highspy

        self.problem = problem
        fresh: Any = highspy.Highs
        self._highs = fresh()
        self._quiet(self._highs)
        dearest = max(kind.cost for kind in problem.kinds)
        self._unit = max(dearest, 1) / _DEAREST
        self.columns: list[Column] = []
        self._seen: set[Column] = set()
        self.rough_rows: dict[tuple[Family, int], int] = {}
        self.strip_rows: dict[tuple[int, Stuff, int], int] = {}
        self._count_rows: dict[Count, int] = {}
        # What each column costs and where it lies in the solver, and the artificial ones beside them.
        self._costs: list[int] = []
        self._places: list[int] = []
        self._artificial: list[int] = []
        self._rows = 0
        for kind in problem.kinds:
            self._row(0.0, float(len(kind.names)))
        self._first_part = self._rows
        for need in problem.demand:
            self._row(float(need), highspy.kHighsInf)
        for i in range(len(problem.demand)):
            self._stand_in(self._first_part + i)
        for i in range(len(problem.kinds)):
            self.add(BoardCol(i, ()))

    @staticmethod
    def _quiet(highs: Any) -> None:
        highs.setOptionValue("output_flag", False)
        highs.setOptionValue("threads", 1)
        highs.setOptionValue("random_seed", 1)

    def _row(self, low: float, high: float) -> int:
        self._highs.addRow(low, high, 0, [], [])
        self._rows += 1
        return self._rows - 1

    def _column(self, cost: float, entries: dict[int, float]) -> None:
        import highspy

        self._highs.addCol(cost, 0.0, highspy.kHighsInf, len(entries), list(entries), list(entries.values()))

    def _stand_in(self, row: int) -> None:
        """An artificial column, so that what no cut found so far gives can be had at a price beyond all others."""
        self._artificial.append(self._highs.getNumCol())
        self._column(_MISSING * _DEAREST, {row: 1.0})

    # Columns

    def _rough_row(self, family: Family, step: int) -> int:
        key = (family, step)
        if key not in self.rough_rows:
            self.rough_rows[key] = self._row(0.0, float("inf"))
        return self.rough_rows[key]

    def _strip_row(self, section: int, stuff: Stuff, step: int) -> int:
        key = (section, stuff, step)
        if key not in self.strip_rows:
            self.strip_rows[key] = self._row(0.0, float("inf"))
        return self.strip_rows[key]

    def add(self, column: Column) -> bool:
        """Take a column in; False if it is there already."""
        if column in self._seen:
            return False
        self._seen.add(column)
        self.columns.append(column)
        entries: dict[int, float] = {}
        if isinstance(column, BoardCol):
            entries[column.kind] = 1.0
            for _, family, step, times in column.steps:
                row = self._rough_row(family, step)
                entries[row] = entries.get(row, 0.0) + float(times * family.layers)
        elif isinstance(column, RoughCol):
            entries[self._rough_row(column.family, column.step)] = -1.0
            for section, times in column.strips:
                entries[self._strip_row(section, column.family.stuff, column.step)] = float(times)
        else:
            entries[self._strip_row(column.section, column.stuff, column.step)] = -1.0
            start = self._first_part + self.problem.first_row[column.section]
            for i, times in enumerate(column.counts):
                if times:
                    entries[start + i] = float(times)
        cost = cost_of(column, self.problem)
        for count, row in self._count_rows.items():
            times = _counted(column, cost, count, self.problem)
            if times:
                entries[row] = float(times)
        self._costs.append(cost)
        self._places.append(self._highs.getNumCol())
        self._column(cost / self._unit, entries)
        return True

    def _count(self, count: Count) -> int:
        """The row of what is counted."""
        if count not in self._count_rows:
            found = [
                (place, float(times))
                for place, column, cost in zip(self._places, self.columns, self._costs, strict=True)
                if (times := _counted(column, cost, count, self.problem))
            ]
            self._highs.addRow(
                -float("inf"), float("inf"), len(found), [at for at, _ in found], [times for _, times in found]
            )
            self._rows += 1
            self._count_rows[count] = self._rows - 1
            self._stand_in(self._rows - 1)
        return self._count_rows[count]

    # Solving

    def limit(self, box: Box) -> None:
        """Let only plans of the ``box`` be."""
        for i, (low, high) in enumerate(zip(box.low, box.high, strict=True)):
            self._highs.changeRowBounds(i, float(low), float(high))
        for count in box.spans:
            self._count(count)
        for count, row in self._count_rows.items():
            low, high = box.spans.get(count, ANY)
            # Nothing is fewer than none; said to the solver, that would only blur its prices.
            least = float(low) if low > 0 else -float("inf")
            self._highs.changeRowBounds(row, least, float(high) if high >= 0 else float("inf"))

    def relax(self) -> Relaxed:
        """Solve without whole numbers within the limits set last."""
        self._highs.run()
        solution = self._highs.getSolution()
        duals, values, rows = list(solution.row_dual), list(solution.col_value), list(solution.row_value)
        scale = self._unit * SCALE

        def price(row: int) -> int:
            return round(float(duals[row]) * scale)

        first = self._first_part
        return Relaxed(
            [max(price(first + i), 0) for i in range(len(self.problem.demand))],
            [price(i) for i in range(first)],
            {key: price(row) for key, row in self.rough_rows.items()},
            {key: price(row) for key, row in self.strip_rows.items()},
            rows[:first],
            {count: -price(row) for count, row in self._count_rows.items() if price(row)},
            float(self._highs.getInfo().objective_function_value),
            sum(values[at] for at in self._artificial),
        )

    def in_use(self) -> list[tuple[Column, float, int]]:
        """The columns of the relaxation solved last, how much of each, and what each costs in money units."""
        values = list(self._highs.getSolution().col_value)
        return [
            (column, values[place], cost)
            for column, place, cost in zip(self.columns, self._places, self._costs, strict=True)
            if values[place] > WHOLE
        ]

    def whole(
        self, looks: int, most: int, keep_going: Callable[[], bool], best: Container[Column] = ()
    ) -> tuple[dict[Column, int], bool]:
        """The best plan in whole numbers the solver finds before it has looked up ``looks`` times whether to stop,
        empty if there is none, and whether its search came to its end. It looks up at the same points of its work on
        every machine.

        Of the columns ``most`` are used: the ``best`` ones, and those that cost least at the prices within the limits
        set last.
        ``keep_going`` is asked each time too; a clock of the solver's own never ends it.
        """
        import highspy
        import numpy as np

        self._highs.run()
        costs = list(self._highs.getSolution().col_dual)
        ranked = sorted(
            range(len(self.columns)), key=lambda i: (self.columns[i] not in best, costs[self._places[i]], i)
        )
        fresh: Any = highspy.Highs
        highs = fresh()
        self._quiet(highs)
        model = self._highs.getLp()
        highs.passModel(model)
        count = model.num_col_
        every = np.arange(count, dtype=np.int32)
        highs.changeColsIntegrality(count, every, np.array([highspy.HighsVarType.kInteger] * count))
        for i, kind in enumerate(self.problem.kinds):
            highs.changeRowBounds(i, 0.0, float(len(kind.names)))
        for row in self._count_rows.values():
            highs.changeRowBounds(row, 0.0, highspy.kHighsInf)
        left_out = [self._places[i] for i in ranked[most:]]
        for at in [*self._artificial, *left_out]:
            highs.changeColBounds(at, 0.0, 0.0)
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
        values = [round(value) for value in highs.getSolution().col_value]
        found = {
            column: values[place] for column, place in zip(self.columns, self._places, strict=True) if values[place] > 0
        }
        return found, ended


def _counted(column: Column, cost: int, count: Count, problem: Problem) -> int:
    """How often a column that costs ``cost`` holds what is counted."""
    if isinstance(column, BoardCol):
        if count.what != "resawn":
            return 0
        thickness = problem.sections[count.section].thickness
        resawn = (one for one in column.steps if one.family.layers > 1 and one.family.yields == thickness)
        return sum(one.times for one in resawn if one.step >= count.step)
    if column.step < count.step:
        return 0
    if isinstance(column, StripCol):
        return int(count.what == "tails" and column.section == count.section and cost < 0)
    if count.what == "strips":
        return sum(times for section, times in column.strips if section == count.section)
    return int(bool(column.strips) and (count.what == "rough" or (count.what == "edges" and cost < 0)))


def cost_of(column: Column, problem: Problem) -> int:
    """What a column costs by itself in money units: the board, less what the offcuts of this cut are worth."""
    rules = problem.rules
    if isinstance(column, BoardCol):
        kind = problem.kinds[column.kind]
        cost, one = kind.cost, kind.family
        if one.across >= rules.keep_width:
            left = list(kind.stretches)
            for stretch, _, step, times in column.steps:
                left[stretch] -= (step * rules.grid + rules.crosscut_kerf) * times
            cost -= sum(credit(one.across, length, one.worth, rules) for length in left)
        return cost
    if isinstance(column, RoughCol):
        of, length = column.family, column.step * rules.grid
        beside = of.across - sum(problem.across_slot(problem.sections[i]) * n for i, n in column.strips)
        return -credit(beside, length, of.worth, rules) if beside >= rules.keep_width else 0
    section = problem.sections[column.section]
    used = sum(slot(length, rules) * n for length, n in zip(section.lengths, column.counts, strict=True))
    tail = column.step * rules.grid - problem.head - used
    return -credit(section.width + rules.over_width, tail, column.stuff.worth, rules)
