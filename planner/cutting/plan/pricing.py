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

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import gcd

import numpy as np
from numpy.typing import NDArray

from planner.cutting.plan.along import Along, Reach, along_of
from planner.cutting.plan.boxes import Count
from planner.cutting.plan.columns import BoardCol, RoughCol, StripCol, board_col
from planner.cutting.plan.problem import Family, Kind, Problem, Section, Stuff
from planner.cutting.plan.worth import slot

Ints = NDArray[np.int64]
NONE = np.int64(-(10**17))


@dataclass(slots=True)
class _Fill:
    """filled[used] of the rows of one section some marks allow, with the choices that led there: (row, pieces, value
    of ``filled`` before)."""

    unit: int
    filled: Ints
    rounds: list[tuple[int, int, Ints]]


class Pricing:
    """The four sums at one set of ``prices``, in the order of ``problem.sizes``, and of what is ``paid`` for each of
    what is counted, all in 1/SCALE of a money unit; of no part more than its ``demand``, that of the problem where it
    is not said otherwise."""

    def __init__(
        self, problem: Problem, prices: Sequence[int], paid: dict[Count, int], demand: Sequence[int] | None = None
    ) -> None:
        self.problem = problem
        self.prices = prices
        self.paid = paid
        wanted = problem.demand if demand is None else demand
        self._lengths = np.arange(problem.steps + 1, dtype=np.int64) * problem.rules.grid
        self._prices, self._demand = (
            [of[i : i + len(section.lengths)] for section, i in zip(problem.sections, problem.first_row, strict=True)]
            for of in (prices, wanted)
        )
        self._fills: dict[tuple[int, tuple[str, ...]], _Fill] = {}
        self._tails: dict[tuple[int, Stuff], tuple[Ints, NDArray[np.bool_]]] = {}
        self._rough: dict[Family, Ints] = {}
        self._across: dict[tuple[Stuff, int], tuple[list[int], Ints]] = {}
        self._paid: dict[tuple[str, int], Ints] = {}
        self._boards: dict[tuple[Family, ...], Along] = {}

    # filled

    def _filled(self, index: int, marks: tuple[str, ...]) -> _Fill:
        """The sum of the section at ``index`` on boards that bear ``marks``."""
        section = self.problem.sections[index]
        key = (index, tuple(mark for mark in marks if mark in section.marks))
        if key not in self._fills:
            # What is worth nothing matters only where it takes from a tail that is paid for.
            least = 0 if (self.paid_for("tails", index) > 0).any() else 1
            able = tuple(
                price >= least and (not mark or mark in marks)
                for price, mark in zip(self._prices[index], section.marks, strict=True)
            )
            self._fills[key] = self._fill(section, self._prices[index], self._demand[index], able)
        return self._fills[key]

    def _fill(self, section: Section, prices: Sequence[int], demand: Sequence[int], able: tuple[bool, ...]) -> _Fill:
        rules = self.problem.rules
        slots = [slot(length, rules) for length in section.lengths]
        unit = gcd(*slots)
        most = max(self.problem.room(self.problem.steps) // unit, 0)
        filled = np.full(most + 1, NONE, dtype=np.int64)
        filled[0] = 0
        rounds = []
        for row, (need, count, price) in enumerate(zip(slots, demand, prices, strict=True)):
            left = min(count, most // (need // unit))
            if not able[row]:
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

    def paid_for(self, what: str, section: int = -1) -> Ints:
        """What is paid for one of these at every length, by grid steps."""
        if (what, section) not in self._paid:
            paid = np.zeros(self.problem.steps + 1, dtype=np.int64)
            for count, price in self.paid.items():
                if count.what == what and count.section == section:
                    paid[count.step :] += price
            self._paid[what, section] = paid
        return self._paid[what, section]

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
            lengths = self._lengths
            room = self._lengths + problem.room(0)
            cut = np.maximum.accumulate(fill.filled)
            value = np.where(room >= 0, cut[np.clip(room // fill.unit, 0, len(cut) - 1)], NONE)
            if (self.paid_for("tails", section) > 0).any():
                spans = [self._no_tail(section, stuff, step, fill) for step in range(len(lengths))]
                value = np.array([max(span.max(initial=NONE), NONE) for _, span in spans], dtype=np.int64)
            rate = problem.rate(problem.sections[section].width + problem.rules.over_width, stuff.worth)
            with_tail = np.zeros(len(lengths), dtype=bool)
            if rate:
                used = np.arange(len(cut), dtype=np.int64) * fill.unit
                kept = np.maximum.accumulate(fill.filled - rate * used)
                most = np.minimum(lengths - problem.head - max(problem.rules.keep_length, 1), room)
                tail = rate * (lengths - problem.head) + kept[np.clip(most // fill.unit, 0, len(cut) - 1)]
                tail -= self.paid_for("tails", section)
                with_tail = (most >= 0) & (tail > value)
                value = np.where(with_tail, tail, value)
            self._tails[key] = (value - self.paid_for("strips", section), with_tail)
        return self._tails[key]

    def _no_tail(self, section: int, stuff: Stuff, step: int, fill: _Fill) -> tuple[int, Ints]:
        """Where in ``filled`` a strip's parts leave no tail that is worth something: from which place on, and that
        much of it."""
        problem, rules = self.problem, self.problem.rules
        last = problem.room(step) // fill.unit
        first = 0
        area = (problem.sections[section].width + rules.over_width) * stuff.worth
        if area > 0 and (self.paid_for("tails", section) > 0).any():
            least = max(rules.keep_length, -(-rules.worth_area // area))
            first = max(-(-(step * rules.grid - problem.head - least + 1) // fill.unit), 0)
        return first, fill.filled[first : max(last + 1, 0)]

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
            first, span = self._no_tail(section, stuff, step, fill)
            used = first + int(np.argmax(span))
        return StripCol(section, stuff, step, self._counts(fill, problem.sections[section], used))

    # rough

    def _side_by_side(self, stuff: Stuff, thickness: int) -> tuple[list[int], Ints]:
        """The widths that strips of this thickness can take side by side, rising from 0, and the best value of strips
        that take just so much: a row for each width, a column for each grid step."""
        key = (stuff, thickness)
        if key not in self._across:
            problem = self.problem
            members = self._members(thickness)
            widest = max(f.across for f in problem.families) + problem.rules.rip_kerf
            ends = {0}
            for _, wide in members:
                for at in sorted(ends):
                    ends |= set(range(at, widest + 1, wide))
            widths = sorted(ends)
            places = {at: i for i, at in enumerate(widths)}
            rows = np.zeros((len(widths), problem.steps + 1), dtype=np.int64)
            for i, at in enumerate(widths[1:], 1):
                ways = [
                    rows[places[at - wide]] + self.strip(member, stuff)
                    for member, wide in members
                    if at - wide in places
                ]
                rows[i] = ways[0]
                for way in ways[1:]:
                    np.maximum(rows[i], way, out=rows[i])
            self._across[key] = (widths, rows)
        return self._across[key]

    def _members(self, thickness: int) -> list[tuple[int, int]]:
        """The sections of a thickness and what a strip of each takes across."""
        sections = self.problem.sections
        return [(i, self.problem.across_slot(s)) for i, s in enumerate(sections) if s.thickness == thickness]

    def rough(self, family: Family) -> Ints:
        """Value of a ripped rough length of the family, by grid steps, in 1/SCALE of a money unit, and nought where it
        is worth nothing to rip it; of a family that is resawn, of one layer, ripped or kept whole."""
        if family not in self._rough:
            problem = self.problem
            best = np.zeros(problem.steps + 1, dtype=np.int64)
            for thickness in self._thicknesses(family):
                for value in self._options(family, thickness):
                    if len(value):
                        np.maximum(best, value.max(axis=0), out=best)
            if family.layers > 1 and family.across >= problem.rules.keep_width:
                kept = problem.rate(family.across, family.worth) * self._lengths
                best = np.maximum(best, np.where(self._lengths >= problem.rules.keep_length, kept, 0))
            best[: problem.least_step] = 0
            self._rough[family] = best
        return self._rough[family]

    def _thicknesses(self, family: Family) -> list[int]:
        if family.layers > 1:
            return [family.yields]
        return sorted({s.thickness for s in self.problem.sections if s.thickness <= family.yields})

    def _options(self, family: Family, thickness: int) -> tuple[Ints, Ints]:
        """The value with no edge kept and with one: a row for each width strips can take, but for nought, a column for
        each grid step."""
        problem, rules = self.problem, self.problem.rules
        widths, rows = self._side_by_side(family.stuff, thickness)
        paid = self.paid_for("rough") + self.paid_for("milled", problem.first_of(thickness))
        plain = rows[1 : bisect_right(widths, family.across + rules.rip_kerf)] - paid
        least = max(rules.keep_width, 1)
        with_edge = plain[: bisect_right(widths, family.across - least) - 1].copy() if family.worth else plain[:0]
        if len(with_edge):
            rates = np.array(
                [problem.rate(family.across - at, family.worth) for at in widths[1 : len(with_edge) + 1]],
                dtype=np.int64,
            )
            kept = -(-rules.keep_length // rules.grid)
            if (self.paid_for("edges") > 0).any():
                # An edge that is worth something is an edge kept, and is paid for.
                areas = (family.across - np.array(widths[1 : len(with_edge) + 1]))[:, None] * self._lengths
                worth = areas * family.worth >= rules.worth_area
                worth[:, :kept] = False
                plain[: len(with_edge)][worth] = NONE
            with_edge = with_edge + rates[:, None] * self._lengths - self.paid_for("edges")
            with_edge[:, :kept] = NONE
        return plain, with_edge

    def rough_col(self, family: Family, step: int) -> RoughCol:
        """The strips that reach ``rough(family)[step]``; without strips where it is worth nothing ripped."""
        target = self.rough(family)[step]
        if target > 0:
            for thickness in self._thicknesses(family):
                for value in self._options(family, thickness):
                    reached = np.flatnonzero(value[:, step] == target)
                    if len(reached):
                        return self._trace(family, thickness, int(reached[0]) + 1, step)
        return RoughCol(family, step, ())

    def _trace(self, family: Family, thickness: int, i: int, step: int) -> RoughCol:
        widths, rows = self._side_by_side(family.stuff, thickness)
        places = {at: n for n, at in enumerate(widths)}
        members = self._members(thickness)
        counts: dict[int, int] = {}
        while i > 0:
            for section, wide in members:
                before = places.get(widths[i] - wide)
                if before is not None and rows[before][step] + self.strip(section, family.stuff)[step] == rows[i][step]:
                    counts[section] = counts.get(section, 0) + 1
                    i = before
                    break
        return RoughCol(family, step, tuple(sorted(counts.items())))

    # board

    def _of_length(self, families: tuple[Family, ...]) -> Ints:
        """Value of a rough length by grid steps, not resawn or resawn, whichever gives more."""
        best = self.rough(families[0])
        for family in families[1:]:
            best = np.maximum(best, self.resawn(family))
        return best

    def resawn(self, family: Family) -> Ints:
        """Value of a rough length by grid steps, resawn into its layers."""
        paid = self.paid_for("resawn", self.problem.first_of(family.yields))
        value = family.layers * self.rough(family) - paid
        value[: self.problem.least_step] = 0
        return value

    def _lengthwise(self, families: tuple[Family, ...]) -> Along:
        """Rough lengths of these families one behind the other, up to the longest clear stretch there is."""
        problem, rules = self.problem, self.problem.rules
        if families not in self._boards:
            longest = max(stretch for kind in problem.kinds if kind.families == families for stretch in kind.stretches)
            self._boards[families] = along_of(self._of_length(families), longest, rules.grid, rules.crosscut_kerf)
        return self._boards[families]

    def _reaching(self, families: tuple[Family, ...], step: int, value: int) -> Family:
        """The family of rough length that gives the most there is."""
        if int(self.rough(families[0])[step]) == value:
            return families[0]
        return next(family for family in families[1:] if int(self.resawn(family)[step]) == value)

    def board(self, kind: Kind) -> int:
        """The most a board of this kind can give at these prices, in 1/SCALE of a money unit."""
        return sum(self._stretch(kind, stretch).value for stretch in kind.stretches)

    def _stretch(self, kind: Kind, along: int) -> Reach:
        """The best of a clear stretch, an end that is kept with it."""
        rules, table = self.problem.rules, self._lengthwise(kind.families)
        best = table.full(along)
        if kind.family.worth and kind.family.across >= rules.keep_width:
            rate = self.problem.rate(kind.family.across, kind.family.worth)
            kept = table.with_end(along, max(rules.keep_length, 1), rate)
            if kept is not None and kept.value > best.value:
                return kept
        return best

    def board_col(self, index: int) -> BoardCol:
        """The rough lengths that reach ``board`` of the kind at ``index``."""
        kind = self.problem.kinds[index]
        table = self._lengthwise(kind.families)
        lengths = [
            (stretch, self._reaching(kind.families, step, int(table.value[step])), step)
            for stretch, along in enumerate(kind.stretches)
            for step in table.lengths(self._stretch(kind, along))
        ]
        return board_col(index, lengths)
