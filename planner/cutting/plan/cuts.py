"""From how many of which cuts to boards one can saw, and back; and the last tidying that only makes a plan cheaper."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Generic, TypeVar

from planner.cutting.plan.first import shortest_rough
from planner.cutting.plan.master import Column
from planner.cutting.plan.pricing import BoardCol, RoughCol, StripCol
from planner.cutting.plan.problem import Family, Problem
from planner.cutting.plan.terms import BoardCut, RoughCut, Rules, StockBoard, StripCut
from planner.cutting.plan.worth import board_length_used, offcuts_of, strip_used, usable

K = TypeVar("K")
V = TypeVar("V")


def cuts_of(columns: dict[Column, int], problem: Problem, shelf: dict[str, StockBoard]) -> tuple[BoardCut, ...]:
    """Boards with their cuts, from whole numbers of columns that make at least every part. Parts beyond the demand
    are left in their strips, strips and rough lengths nobody needs are left whole."""
    strips = _Pool[tuple[int, int, int], StripCol]()
    roughs = _Pool[tuple[Family, int], RoughCol]()
    boards: list[BoardCol] = []
    for column, times in columns.items():
        if isinstance(column, StripCol):
            strips.put((column.section, column.worth, column.step), column, times)
        elif isinstance(column, RoughCol):
            roughs.put((column.family, column.step), column, times)
        else:
            boards += [column] * times
    names = {i: iter(kind.names) for i, kind in enumerate(problem.kinds)}
    left = {
        (i, length): count
        for i, section in enumerate(problem.sections)
        for length, count in zip(section.lengths, section.demand, strict=True)
    }
    cuts = []
    for board in boards:
        kind = problem.kinds[board.kind]
        rough = []
        for step, times in board.steps:
            for _ in range(times):
                way = roughs.take((kind.family, step))
                rough.append(_rough_cut(way, step, kind.family, problem, strips, left))
        cuts.append(tidy(BoardCut(next(names[board.kind]), tuple(rough)), shelf, problem.rules))
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


def _rough_cut(
    way: RoughCol | None,
    step: int,
    family: Family,
    problem: Problem,
    strips: _Pool[tuple[int, int, int], StripCol],
    left: dict[tuple[int, int], int],
) -> RoughCut:
    length = step * problem.rules.grid
    made = []
    thickness = 0
    for index, times in way.strips if way else ():
        section = problem.sections[index]
        thickness = section.thickness
        for _ in range(times):
            cut = strips.take((index, family.worth, step))
            parts = []
            for size, count in zip(section.lengths, cut.counts if cut else (0,) * len(section.lengths), strict=True):
                take = min(count, left[index, size])
                left[index, size] -= take
                if take:
                    parts.append((size, take))
            made.append(StripCut(section.width, tuple(parts)))
    if not any(strip.parts for strip in made):
        return RoughCut(length, 0, ())
    return RoughCut(length, thickness, tuple(made))


def tidy(cut: BoardCut, shelf: dict[str, StockBoard], rules: Rules) -> BoardCut:
    """The same parts from the same board, worth no less: no strip ripped for nothing, rough lengths no longer than
    they have to be where that is worth more, and all the length left over in one piece at the end."""
    board = shelf[cut.board]
    _, along = usable(board, rules)
    ripped = [one for one in cut.rough if one.strips]

    def closed(rough: list[RoughCut]) -> BoardCut:
        end = along - board_length_used(rough, rules) - rules.crosscut_kerf
        rest = [RoughCut(end, 0, ())] if end >= max(rules.keep_length, 1) else []
        return BoardCut(cut.board, (*rough, *rest))

    def worth(made: BoardCut) -> int:
        return sum(piece.credit for piece in offcuts_of(made, board, rules))

    best = closed(ripped)
    for i, rough in enumerate(ripped):
        # A strip nothing is cut from is worth ripping only where it is kept and the wider edge would not be.
        other = [*ripped[:i], replace(rough, strips=tuple(s for s in rough.strips if s.parts)), *ripped[i + 1 :]]
        if worth(closed(other)) >= worth(best):
            best, ripped = closed(other), other
    for i, rough in enumerate(ripped):
        need = shortest_rough(max(strip_used(strip, rules) for strip in rough.strips), rules)
        if need < rough.length:
            other = [*ripped[:i], RoughCut(need, rough.thickness, rough.strips), *ripped[i + 1 :]]
            shorter = closed(other)
            if worth(shorter) >= worth(best):
                best, ripped = shorter, other
    return best


def columns_of(cuts: Iterable[BoardCut], problem: Problem) -> Iterator[Column]:
    """The columns a plan is made of."""
    kinds = {name: i for i, kind in enumerate(problem.kinds) for name in kind.names}
    sections = {(s.width, s.thickness): i for i, s in enumerate(problem.sections)}
    grid = problem.rules.grid
    for cut in cuts:
        index = kinds[cut.board]
        family = problem.kinds[index].family
        steps: dict[int, int] = defaultdict(int)
        for rough in cut.rough:
            if not rough.strips:
                continue
            step = rough.length // grid
            steps[step] += 1
            counts: dict[int, int] = defaultdict(int)
            for strip in rough.strips:
                at = sections[strip.width, rough.thickness]
                counts[at] += 1
                pieces = dict(strip.parts)
                yield StripCol(
                    at, family.worth, step, tuple(pieces.get(length, 0) for length in problem.sections[at].lengths)
                )
            yield RoughCol(family, step, tuple(sorted(counts.items())))
        yield BoardCol(index, tuple(sorted(steps.items())))
