"""From numbers of cuts to boards one can saw, and back; and the last tidying that only makes a plan cheaper."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Generic, TypeVar

from planner.cutting.plan.clear import clear_stretches
from planner.cutting.plan.columns import RoughCol, StripCol, board_col
from planner.cutting.plan.first import shortest_rough
from planner.cutting.plan.master import Column
from planner.cutting.plan.problem import Family, Problem, Stuff
from planner.cutting.plan.terms import BoardCut, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.worth import offcuts_of, strip_used

K = TypeVar("K")
V = TypeVar("V")
# Rough lengths by the clear stretch they come out of, in any order.
ByStretch = list[tuple[int, RoughCut]]


def cuts_of(columns: dict[Column, int], problem: Problem, shelf: dict[str, StockBoard]) -> tuple[BoardCut, ...]:
    """Boards with their cuts, from whole numbers of columns that make at least every part. Parts beyond the demand
    are left in their strips, strips and rough lengths nobody needs are left whole."""
    names = {i: iter(kind.names) for i, kind in enumerate(problem.kinds)}
    pools = _Pools(problem)
    boards = []
    for column, times in columns.items():
        if isinstance(column, StripCol):
            pools.strips.put((column.section, column.stuff, column.step), column, times)
        elif isinstance(column, RoughCol):
            pools.roughs.put((column.family, column.step), column, times)
        else:
            boards += [column] * times
    cuts = []
    for board in boards:
        name = next(names[board.kind])
        rough = [(one.stretch, pools.rough_cut(one.family, one.step)) for one in board.steps for _ in range(one.times)]
        cuts.append(tidy(name, rough, shelf[name], problem.rules))
    return tuple(cut for cut in cuts if any(one.strips for one in cut.rough))


class _Pool(Generic[K, V]):
    """Cuts waiting for the wood they belong to."""

    def __init__(self) -> None:
        self._waiting: dict[K, list[V]] = defaultdict(list)

    def put(self, key: K, cut: V, times: int) -> None:
        self._waiting[key] += [cut] * times

    def take(self, key: K) -> V | None:
        waiting = self._waiting[key]
        return waiting.pop() if waiting else None


class _Pools:
    """Ways to rip and to crosscut that wait for their rough lengths and strips, and the parts still to be cut."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.strips = _Pool[tuple[int, Stuff, int], StripCol]()
        self.roughs = _Pool[tuple[Family, int], RoughCol]()
        self.left = [list(section.demand) for section in problem.sections]

    def rough_cut(self, family: Family, step: int) -> RoughCut:
        length = step * self.problem.rules.grid
        layers = [self._layer(family, step) for _ in range(family.layers)]
        made = [one for one in layers if any(strip.parts for strip in one[1])]
        if not made:
            return RoughCut(length, 0, ())
        thickness, strips = made[0]
        if family.layers == 1:
            return RoughCut(length, thickness, strips)
        return RoughCut(length, thickness, strips, resawn=True, under=made[1][1] if len(made) > 1 else ())

    def _layer(self, family: Family, step: int) -> tuple[int, tuple[StripCut, ...]]:
        """Its thickness and its strips."""
        made = []
        thickness = 0
        way = self.roughs.take((family, step))
        for index, times in way.strips if way else ():
            section, left = self.problem.sections[index], self.left[index]
            thickness = section.thickness
            for _ in range(times):
                cut = self.strips.take((index, family.stuff, step))
                parts: dict[int, int] = {}
                for row, count in enumerate(cut.counts if cut else ()):
                    take = min(count, left[row])
                    left[row] -= take
                    if take:
                        parts[section.lengths[row]] = parts.get(section.lengths[row], 0) + take
                made.append(StripCut(section.width, tuple(parts.items())))
        return thickness, tuple(made)


def laid_out(name: str, cuts: ByStretch, board: StockBoard, rules: Rules) -> BoardCut:
    """Rough lengths one behind the other from where their clear stretch begins, and what is left of it at its end."""
    rough = []
    for i, (at, end) in enumerate(clear_stretches(board, rules)):
        for one in (cut for stretch, cut in cuts if stretch == i):
            rough.append(replace(one, at=at))
            at += one.length + rules.crosscut_kerf
        if end - at >= max(rules.keep_length, 1):
            rough.append(RoughCut(end - at, 0, (), at))
    return BoardCut(name, tuple(rough))


def tidy(name: str, cuts: ByStretch, board: StockBoard, rules: Rules) -> BoardCut:
    """The same parts from the same board, worth no less: no strip ripped for nothing, nothing resawn for nothing,
    rough lengths no longer than they have to be where that is worth more, and all the length left over of every clear
    stretch in one piece at its end."""

    def closed(cuts: ByStretch) -> BoardCut:
        return laid_out(name, cuts, board, rules)

    def worth(made: BoardCut) -> int:
        return sum(piece.credit for piece in offcuts_of(made, board, rules))

    ripped = [(stretch, one) for stretch, one in cuts if one.strips]
    best = closed(ripped)
    for change in (_without_idle_strips, _not_resawn, _shorter):
        for i, (stretch, rough) in enumerate(ripped):
            changed = change(rough, board, rules)
            if changed is None:
                continue
            other = [*ripped[:i], (stretch, changed), *ripped[i + 1 :]]
            made = closed(other)
            if worth(made) >= worth(best):
                best, ripped = made, other
    return best


def _without_idle_strips(rough: RoughCut, board: StockBoard, rules: Rules) -> RoughCut | None:
    """A strip nothing is cut from is worth ripping only where it is kept and the wider edge would not be."""
    strips = tuple(strip for strip in rough.strips if strip.parts)
    under = tuple(strip for strip in rough.under if strip.parts)
    return replace(rough, strips=strips, under=under)


def _not_resawn(rough: RoughCut, board: StockBoard, rules: Rules) -> RoughCut | None:
    """A second layer nothing is cut from is worth sawing off only where it is kept."""
    if not rough.resawn or rough.under or rough.thickness > board.yields:
        return None
    return replace(rough, resawn=False)


def _shorter(rough: RoughCut, board: StockBoard, rules: Rules) -> RoughCut | None:
    need = shortest_rough(max(strip_used(strip, rules) for strip in (*rough.strips, *rough.under)), rules)
    return replace(rough, length=need) if need < rough.length else None


def columns_of(cuts: Iterable[BoardCut], problem: Problem, shelf: dict[str, StockBoard]) -> Iterator[Column]:
    """The columns a plan is made of. Parts that ask for no mark are told from those that do by how many are wanted."""
    kinds = {name: i for i, kind in enumerate(problem.kinds) for name in kind.names}
    sections = {(s.width, s.thickness): i for i, s in enumerate(problem.sections)}
    left = [list(section.demand) for section in problem.sections]
    for cut in cuts:
        index = kinds[cut.board]
        kind = problem.kinds[index]
        ends = [end for _, end in clear_stretches(shelf[cut.board], problem.rules)]
        lengths = []
        for rough in cut.rough:
            if not rough.strips:
                continue
            family = next(f for f in kind.families if (f.layers > 1) == rough.resawn and rough.thickness <= f.yields)
            step = rough.length // problem.rules.grid
            lengths.append((next(i for i, end in enumerate(ends) if rough.at < end), family, step))
            for strips in (rough.strips, rough.under)[: family.layers]:
                counts: dict[int, int] = defaultdict(int)
                for strip in strips:
                    at = sections[strip.width, rough.thickness]
                    counts[at] += 1
                    yield StripCol(at, family.stuff, step, _counts(strip, problem, at, family.stuff, left[at]))
                yield RoughCol(family, step, tuple(sorted(counts.items())))
        yield board_col(index, lengths)


def _counts(strip: StripCut, problem: Problem, at: int, stuff: Stuff, left: list[int]) -> tuple[int, ...]:
    """Parts of the strip by the section's rows: as many as are wanted of a row that asks for a mark, then others."""
    section = problem.sections[at]
    counts = [0] * len(left)
    for length, pieces in strip.parts:
        rows = [
            row
            for row, (size, mark) in enumerate(zip(section.lengths, section.marks, strict=True))
            if size == length and (not mark or mark in stuff.marks)
        ]
        rows.sort(key=lambda row: not section.marks[row])
        for row in rows:
            counts[row] = min(pieces, max(left[row], 0)) if row != rows[-1] else pieces
            left[row] -= counts[row]
            pieces -= counts[row]
    return tuple(counts)
