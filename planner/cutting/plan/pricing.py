"""The best that wood can give at given prices of the parts: the answers and the cuts that reach them.

At prices p of the parts, in 1/SCALE of a money unit, four sums build on one another, each exact in whole numbers:

    filled[used]   the parts of one section that take exactly ``used`` units of a strip   (bounded knapsack)
    strip[s]       a strip s grid steps long: its parts, and its tail where that is kept
    rough[s]       a rough length, or a layer of it, s steps long: its strips side by side, all of one thickness, and
                   the edge left
    board          a board: the rough lengths of every clear stretch end to end, and the end left over of each

Source: the method is column generation for the cutting stock problem (P. C. Gilmore and R. E. Gomory, 1961 and 1963,
from memory), priced by whole boards, so that ``board`` also bounds what any plan can earn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from math import gcd
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from planner.cutting.plan.problem import Family, Kind, Problem, Section, Stuff
from planner.cutting.plan.worth import slot

Ints = NDArray[np.int64]
NONE = np.int64(-(10**17))


@dataclass(frozen=True, slots=True)
class StripCol:
    """Parts out of a strip: ``counts`` by the section's lengths."""

    section: int
    stuff: Stuff
    step: int
    counts: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class RoughCol:
    """Strips out of a rough length, or out of one layer of it where the ``family`` is resawn: ``strips`` are (section,
    how many); none for one kept whole."""

    family: Family
    step: int
    strips: tuple[tuple[int, int], ...]


class Lengths(NamedTuple):
    """``times`` rough lengths of one ``family``, ``step`` grid steps long, out of the clear stretch so numbered."""

    stretch: int
    family: Family
    step: int
    times: int


@dataclass(frozen=True, slots=True)
class BoardCol:
    """Rough lengths out of a board of ``kind``: ``steps`` in the order of stretch, family and grid steps. Each gives
    as many pieces to rip as its family has layers."""

    kind: int
    steps: tuple[Lengths, ...]


def board_col(kind: int, lengths: Iterable[tuple[int, Family, int]]) -> BoardCol:
    """The column of rough lengths given one by one as (stretch, family, grid steps)."""
    return BoardCol(kind, tuple(Lengths(*key, times) for key, times in sorted(Counter(lengths).items())))


@dataclass(slots=True)
class _Fill:
    """filled[used] of the rows of one section some marks allow, with the choices that led there: (row, pieces, value
    of ``filled`` before)."""

    unit: int
    filled: Ints
    rounds: list[tuple[int, int, Ints]]


class Pricing:
    """The four sums at one set of ``prices``, in the order of ``problem.sizes``, and of ``strip_prices`` that every
    strip of a section costs, whatever is cut from it; all in 1/SCALE of a money unit."""

    def __init__(self, problem: Problem, prices: list[int], strip_prices: list[int]) -> None:
        self.problem = problem
        self.strip_prices = strip_prices
        self._prices = [
            prices[start : start + len(section.lengths)]
            for section, start in zip(problem.sections, problem.first_row, strict=True)
        ]
        self._fills: dict[tuple[int, tuple[str, ...]], _Fill] = {}
        self._tails: dict[tuple[int, Stuff], tuple[Ints, NDArray[np.bool_]]] = {}
        self._rough: dict[Family, Ints] = {}
        self._across: dict[tuple[Stuff, int], tuple[int, dict[int, Ints]]] = {}
        self._boards: dict[tuple[Family, ...], Ints] = {}

    # filled

    def _filled(self, index: int, marks: tuple[str, ...]) -> _Fill:
        """The sum of the section at ``index`` on boards that bear ``marks``."""
        section = self.problem.sections[index]
        key = (index, tuple(mark for mark in marks if mark in section.marks))
        if key not in self._fills:
            self._fills[key] = self._fill(section, self._prices[index], marks)
        return self._fills[key]

    def _fill(self, section: Section, prices: list[int], marks: tuple[str, ...]) -> _Fill:
        rules = self.problem.rules
        slots = [slot(length, rules) for length in section.lengths]
        unit = gcd(*slots)
        most = max(self.problem.room(self.problem.steps) // unit, 0)
        filled = np.full(most + 1, NONE, dtype=np.int64)
        filled[0] = 0
        rounds = []
        for row, (need, count, price) in enumerate(zip(slots, section.demand, prices, strict=True)):
            left = min(count, most // (need // unit))
            if price <= 0 or (section.marks[row] and section.marks[row] not in marks):
                continue
            pieces = 1
            while left > 0:
                take = min(pieces, left)
                left -= take
                pieces *= 2
                step = take * (need // unit)
                before = filled.copy()
                np.maximum(filled[step:], before[:-step] + take * price, out=filled[step:])
                rounds.append((row, take, before))
        return _Fill(unit, filled, rounds)

    def _counts(self, fill: _Fill, section: Section, used: int) -> tuple[int, ...]:
        counts = [0] * len(section.lengths)
        now = fill.filled[used]
        for row, take, before in reversed(fill.rounds):
            if before[used] != now:
                counts[row] += take
                used -= take * (slot(section.lengths[row], self.problem.rules) // fill.unit)
                now = before[used]
        return tuple(counts)

    # strip

    def strip(self, section: int, stuff: Stuff) -> Ints:
        """Value of a strip of every length, by grid steps from 0, in 1/SCALE of a money unit; NONE-like below 0
        where it is too short to hold."""
        return self._strip(section, stuff)[0]

    def _strip(self, section: int, stuff: Stuff) -> tuple[Ints, NDArray[np.bool_]]:
        key = (section, stuff)
        if key not in self._tails:
            problem = self.problem
            fill = self._filled(section, stuff.marks)
            lengths = np.arange(problem.steps + 1, dtype=np.int64) * problem.rules.grid
            room = np.array([problem.room(s) for s in range(problem.steps + 1)], dtype=np.int64)
            cut = np.maximum.accumulate(fill.filled)
            value = np.where(room >= 0, cut[np.clip(room // fill.unit, 0, len(cut) - 1)], NONE)
            rate = problem.rate(problem.sections[section].width + problem.rules.over_width, stuff.worth)
            with_tail = np.zeros(len(lengths), dtype=bool)
            if rate:
                used = np.arange(len(cut), dtype=np.int64) * fill.unit
                kept = np.maximum.accumulate(fill.filled - rate * used)
                most = np.minimum(lengths - problem.head - max(problem.rules.keep_length, 1), room)
                tail = rate * (lengths - problem.head) + kept[np.clip(most // fill.unit, 0, len(cut) - 1)]
                with_tail = (most >= 0) & (tail > value)
                value = np.where(with_tail, tail, value)
            self._tails[key] = (value - self.strip_prices[section], with_tail)
        return self._tails[key]

    def strip_col(self, section: int, stuff: Stuff, step: int) -> StripCol:
        """The parts that reach ``strip(section, stuff)[step]``."""
        problem, fill = self.problem, self._filled(section, stuff.marks)
        _, with_tail = self._strip(section, stuff)
        room = problem.room(step)
        if with_tail[step]:
            rate = problem.rate(problem.sections[section].width + problem.rules.over_width, stuff.worth)
            most = min(step * problem.rules.grid - problem.head - max(problem.rules.keep_length, 1), room)
            span = fill.filled[: most // fill.unit + 1]
            used = int(np.argmax(span - rate * fill.unit * np.arange(len(span), dtype=np.int64)))
        else:
            used = int(np.argmax(fill.filled[: room // fill.unit + 1]))
        return StripCol(section, stuff, step, self._counts(fill, problem.sections[section], used))

    # rough

    def _side_by_side(self, stuff: Stuff, thickness: int) -> tuple[int, dict[int, Ints]]:
        """Best value of strips within each width, by steps: rows of width units, columns of grid steps."""
        key = (stuff, thickness)
        if key not in self._across:
            problem = self.problem
            members = [i for i, s in enumerate(problem.sections) if s.thickness == thickness]
            slots = {i: problem.across_slot(problem.sections[i]) for i in members}
            unit = gcd(*slots.values())
            widest = max(f.across for f in problem.families) + problem.rules.rip_kerf
            values = {i: self.strip(i, stuff) for i in members}
            rows: dict[int, Ints] = {0: np.zeros(problem.steps + 1, dtype=np.int64)}
            for at in range(1, widest // unit + 1):
                best = rows[at - 1]
                fresh = [rows[at - slots[i] // unit] + values[i] for i in members if at >= slots[i] // unit]
                for one in fresh:
                    best = np.maximum(best, one)
                rows[at] = best
            self._across[key] = (unit, rows)
        return self._across[key]

    def rough(self, family: Family) -> Ints:
        """Value of a ripped rough length of the family, by grid steps, in 1/SCALE of a money unit; of a family that is
        resawn, of one layer, ripped or kept whole."""
        if family not in self._rough:
            problem = self.problem
            best = np.zeros(problem.steps + 1, dtype=np.int64)
            for thickness in self._thicknesses(family):
                for value in self._options(family, thickness):
                    best = np.maximum(best, value)
            if family.layers > 1 and family.across >= problem.rules.keep_width:
                lengths = np.arange(problem.steps + 1, dtype=np.int64) * problem.rules.grid
                kept = problem.rate(family.across, family.worth) * lengths
                best = np.maximum(best, np.where(lengths >= problem.rules.keep_length, kept, 0))
            best[: problem.least_step] = 0
            self._rough[family] = best
        return self._rough[family]

    def _thicknesses(self, family: Family) -> list[int]:
        if family.layers > 1:
            return [family.yields]
        return sorted({s.thickness for s in self.problem.sections if s.thickness <= family.yields})

    def _options(self, family: Family, thickness: int) -> list[Ints]:
        """The value with no edge kept, then with one."""
        problem, rules = self.problem, self.problem.rules
        unit, rows = self._side_by_side(family.stuff, thickness)
        options = [rows[(family.across + rules.rip_kerf) // unit]]
        if family.worth:
            lengths = np.arange(problem.steps + 1, dtype=np.int64) * rules.grid
            widest = (family.across - max(rules.keep_width, 1)) // unit
            best = np.full(problem.steps + 1, NONE, dtype=np.int64)
            for at in range(1, widest + 1):
                if at == 1 or rows[at] is not rows[at - 1]:
                    rate = problem.rate(family.across - at * unit, family.worth)
                    best = np.maximum(best, np.where(lengths >= rules.keep_length, rows[at] + rate * lengths, NONE))
            options.append(best)
        return options

    def rough_col(self, family: Family, step: int) -> RoughCol:
        """The strips that reach ``rough(family)[step]``; without strips where it is worth nothing ripped."""
        problem, rules = self.problem, self.problem.rules
        target = self.rough(family)[step]
        length = step * rules.grid
        for thickness in self._thicknesses(family):
            unit, rows = self._side_by_side(family.stuff, thickness)
            full = (family.across + rules.rip_kerf) // unit
            if target > 0 and rows[full][step] == target:
                return self._trace(family, thickness, full, step)
            if family.worth and length >= rules.keep_length:
                for at in range(1, (family.across - max(rules.keep_width, 1)) // unit + 1):
                    rate = problem.rate(family.across - at * unit, family.worth)
                    if rows[at][step] > 0 and rows[at][step] + rate * length == target:
                        return self._trace(family, thickness, at, step)
        return RoughCol(family, step, ())

    def _trace(self, family: Family, thickness: int, at: int, step: int) -> RoughCol:
        problem = self.problem
        unit, rows = self._side_by_side(family.stuff, thickness)
        members = [i for i, s in enumerate(problem.sections) if s.thickness == thickness]
        counts: dict[int, int] = {}
        while at > 0:
            if rows[at - 1][step] == rows[at][step]:
                at -= 1
                continue
            for i in members:
                wide = problem.across_slot(problem.sections[i]) // unit
                if at >= wide and rows[at - wide][step] + self.strip(i, family.stuff)[step] == rows[at][step]:
                    counts[i] = counts.get(i, 0) + 1
                    at -= wide
                    break
        return RoughCol(family, step, tuple(sorted(counts.items())))

    # board

    def _of_length(self, families: tuple[Family, ...]) -> Ints:
        """Value of a rough length by grid steps, not resawn or resawn, whichever gives more."""
        best = self.rough(families[0])
        for family in families[1:]:
            best = np.maximum(best, family.layers * self.rough(family))
        return best

    def _lengthwise(self, families: tuple[Family, ...]) -> tuple[int, Ints]:
        """Best value of rough lengths whose lengths and kerfs take at most so many units of a clear stretch."""
        problem, rules = self.problem, self.problem.rules
        unit = gcd(rules.grid, rules.crosscut_kerf)
        if families not in self._boards:
            longest = max(stretch for kind in problem.kinds if kind.families == families for stretch in kind.stretches)
            value = self._of_length(families)
            worth_it = np.flatnonzero(value > 0)
            most = (longest + rules.crosscut_kerf) // unit
            best = np.zeros(most + 1, dtype=np.int64)
            if len(worth_it):
                first = int(worth_it[0])
                steps = np.arange(first, len(value), dtype=np.int64)
                takes = (steps * rules.grid + rules.crosscut_kerf) // unit
                values = value[first:]
                block = int(takes[0])
                for start in range(block, most + 1, block):
                    at = np.arange(start, min(start + block, most + 1), dtype=np.int64)
                    before = at[:, None] - takes[None, :]
                    sums = np.where(before >= 0, best[np.maximum(before, 0)] + values[None, :], 0)
                    best[at] = np.maximum(sums.max(axis=1), 0)
                    np.maximum.accumulate(best[: at[-1] + 1], out=best[: at[-1] + 1])
            self._boards[families] = best
        return unit, self._boards[families]

    def board(self, kind: Kind) -> int:
        """The most a board of this kind can give at these prices, in 1/SCALE of a money unit."""
        return sum(self._stretch(kind, stretch)[0] for stretch in kind.stretches)

    def _stretch(self, kind: Kind, along: int) -> tuple[int, int]:
        """Value of a clear stretch, and how many units of the table its rough lengths take."""
        rules = self.problem.rules
        unit, best = self._lengthwise(kind.families)
        full = (along + rules.crosscut_kerf) // unit
        value, at = int(best[full]), full
        if kind.family.worth and kind.family.across >= rules.keep_width:
            rate = self.problem.rate(kind.family.across, kind.family.worth)
            most = (along - max(rules.keep_length, 1)) // unit
            if most >= 0:
                ends = best[: most + 1] + rate * (along - unit * np.arange(most + 1, dtype=np.int64))
                where = int(np.argmax(ends))
                if int(ends[where]) > value:
                    value, at = int(ends[where]), where
        return value, at

    def board_col(self, index: int) -> BoardCol:
        """The rough lengths that reach ``board`` of the kind at ``index``."""
        kind = self.problem.kinds[index]
        rules = self.problem.rules
        unit, best = self._lengthwise(kind.families)
        value = self._of_length(kind.families)
        steps = np.arange(len(value), dtype=np.int64)
        takes = (steps * rules.grid + rules.crosscut_kerf) // unit
        lengths: list[tuple[int, Family, int]] = []
        for stretch, along in enumerate(kind.stretches):
            _, at = self._stretch(kind, along)
            while at > 0 and best[at] > 0:
                if best[at - 1] == best[at]:
                    at -= 1
                    continue
                able = np.flatnonzero((takes <= at) & (value > 0))
                exact = able[best[at - takes[able]] + value[able] == best[at]]
                step = int(exact[0])
                family = next(f for f in kind.families if f.layers * int(self.rough(f)[step]) == int(value[step]))
                lengths.append((stretch, family, step))
                at -= int(takes[step])
        return board_col(index, lengths)
