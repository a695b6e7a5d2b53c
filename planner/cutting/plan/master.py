"""The master problem: which of the cuts found so far, and how many of each, at the least cost.

Rows: boards of each kind used; rough lengths made and ripped; strips made and crosscut; parts. Columns: ways to cut
a board, a rough length, a strip, and an artificial column for every part that stands for what no cut gives yet.

The library that solves it (HiGHS, by ``highspy``) works in floating point, so nothing it says of costs or bounds is
believed: its prices are rounded to whole numbers and the floor proved from those, its plans are summed anew. It is
given no starting solution: release 1.16.0 returned a wrong optimum with one (see requirements.txt).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from planner.cutting.plan.boxes import ANY, WHOLE, Box, Count
from planner.cutting.plan.columns import BoardCol, RoughCol, StripCol
from planner.cutting.plan.problem import Family, Problem, Stuff
from planner.cutting.plan.terms import SCALE
from planner.cutting.plan.worth import credit, slot

Column = BoardCol | RoughCol | StripCol
Row = tuple[Family, int] | tuple[int, Stuff, int]
# A part no cut gives costs this many of the dearest board, so that it is left out wherever it can be.
_MISSING = 20
# The dearest board stands for this much in the solver, which likes numbers near one.
DEAREST = 100.0


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A solved relaxation. ``parts`` prices in the order of ``problem.sizes``, ``boards``, ``rough`` and ``strips`` of
    their rows, ``paid`` what each of what is counted costs beside, all in 1/SCALE of a money unit; ``used`` boards of
    each kind, with fractions; ``value`` about what it costs, in the solver's own unit; ``missing`` parts, no end of
    them where there is no solution."""

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
        quiet(self._highs)
        dearest = max(kind.cost for kind in problem.kinds)
        self._unit = max(dearest, 1) / DEAREST
        self.columns: list[Column] = []
        self._at: dict[Column, int] = {}
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
        self._column(_MISSING * DEAREST, {row: 1.0})

    # Columns

    def _row_of(self, key: Row) -> int:
        """The row of rough lengths (family, grid steps) or of strips (section, stuff, grid steps)."""
        rows: Any = self.rough_rows if len(key) == 2 else self.strip_rows
        if key not in rows:
            rows[key] = self._row(0.0, float("inf"))
        return int(rows[key])

    def add(self, column: Column) -> bool:
        """Take a column in; False if it is there already."""
        if column in self._at:
            return False
        self._at[column] = len(self.columns)
        self.columns.append(column)
        entries: dict[int, float] = {}
        for key, times in entries_of(column, self.problem):
            entries[key if isinstance(key, int) else self._row_of(key)] = float(times)
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

    def hold(self, column: Column, times: int) -> None:
        """Have the column at least so many times."""
        self._highs.changeColBounds(self._places[self._at[column]], float(times), float("inf"))

    def relax(self) -> Relaxed:
        """Solve without whole numbers within the limits set last."""
        import highspy

        self._highs.run()
        solved = self._highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
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
            sum(values[at] for at in self._artificial) if solved else float("inf"),
        )

    def every(self) -> list[tuple[Column, int]]:
        """The columns there are and what each costs in money units."""
        return list(zip(self.columns, self._costs, strict=True))

    def in_use(self) -> list[tuple[Column, float, int]]:
        """The columns of the relaxation solved last, how much of each, and what each costs in money units."""
        values = list(self._highs.getSolution().col_value)
        return [
            (column, values[place], cost)
            for column, place, cost in zip(self.columns, self._places, self._costs, strict=True)
            if values[place] > WHOLE
        ]


def quiet(highs: Any) -> None:
    """One thread, no words, the same way each time."""
    highs.setOptionValue("output_flag", False)
    highs.setOptionValue("threads", 1)
    highs.setOptionValue("random_seed", 1)


def entries_of(column: Column, problem: Problem) -> list[tuple[int | Row, int]]:
    """The rows a column stands in, and how often: a kind or, after all of these, a part by number; others by key."""
    if isinstance(column, BoardCol):
        made: dict[Row, int] = {}
        for _, family, step, times in column.steps:
            made[family, step] = made.get((family, step), 0) + times * family.layers
        return [(column.kind, 1), *made.items()]
    if isinstance(column, RoughCol):
        of = column.family
        strips: list[tuple[int | Row, int]] = [((i, of.stuff, column.step), times) for i, times in column.strips]
        return [((of, column.step), -1), *strips]
    start = len(problem.kinds) + problem.first_row[column.section]
    parts: list[tuple[int | Row, int]] = [(start + i, times) for i, times in enumerate(column.counts) if times]
    return [((column.section, column.stuff, column.step), -1), *parts]


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
    if count.what == "milled":
        return int(any(problem.first_alike(section) == count.section for section, _ in column.strips))
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
