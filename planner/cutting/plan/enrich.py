"""More cuts for whole plans: what is best with fractions need not fit together in whole numbers.

For every strip and rough length that already occurs, the ways a sawyer would try: each part first, as often as it
goes, then the longest that still fits; every filling of the width; and boards cut into the lengths that occur.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from planner.cutting.plan.master import Column
from planner.cutting.plan.pricing import BoardCol, RoughCol, StripCol
from planner.cutting.plan.problem import Family, Problem
from planner.cutting.plan.worth import slot

_MOST_WAYS = 60
# How many grid steps a rough length is tried longer and shorter.
_SHIFT = 8


def more_columns(
    problem: Problem, rough: list[tuple[Family, int]], strips: list[tuple[int, int, int]]
) -> Iterator[Column]:
    """Columns for the ``rough`` lengths and ``strips`` that occur: (family, grid steps), (section, worth, steps)."""
    for section, worth, step in strips:
        for counts in _strip_ways(problem, section, step):
            yield StripCol(section, worth, step, counts)
    for family, step in rough:
        for ways in _rough_ways(problem, family, step):
            yield RoughCol(family, step, ways)
    for i, kind in enumerate(problem.kinds):
        known = sorted({step for family, step in rough if family == kind.family}, reverse=True)
        for steps in _board_ways(problem, kind.along, known):
            yield BoardCol(i, steps)


def nearby_columns(problem: Problem, columns: list[Column]) -> Iterator[Column]:
    """Columns near the ``columns`` of a plan: one of a board's rough lengths some grid steps longer or shorter, by
    itself or at the cost of another one, with strips and fillings for what it then is."""
    grid, kerf = problem.rules.grid, problem.rules.crosscut_kerf
    ways = {(c.family, c.step): c.strips for c in columns if isinstance(c, RoughCol)}
    done: set[tuple[Family, int]] = set()
    for column in columns:
        if not isinstance(column, BoardCol):
            continue
        kind = problem.kinds[column.kind]
        steps = [step for step, times in column.steps for _ in range(times)]
        left = (kind.along + kerf - sum(step * grid + kerf for step in steps)) // grid
        for i, step in enumerate(steps):
            for by in (*range(-_SHIFT, 0), *range(1, _SHIFT + 1)):
                fresh = step + by
                if not problem.least_step <= fresh <= problem.steps:
                    continue
                rest = steps[:i] + steps[i + 1 :]
                shifted = [[*rest, fresh]] if by <= left else []
                shifted += [
                    [*rest[:j], other - by, *rest[j + 1 :], fresh]
                    for j, other in enumerate(rest)
                    if problem.least_step <= other - by <= problem.steps
                ]
                for made in shifted:
                    yield BoardCol(column.kind, tuple(sorted(Counter(made).items())))
                if (kind.family, fresh) in done:
                    continue
                done.add((kind.family, fresh))
                strips = ways.get((kind.family, step), ())
                if strips:
                    yield RoughCol(kind.family, fresh, strips)
                for section, _ in strips:
                    for counts in _strip_ways(problem, section, fresh):
                        yield StripCol(section, kind.family.worth, fresh, counts)


def _strip_ways(problem: Problem, section: int, step: int) -> Iterator[tuple[int, ...]]:
    """Counts by length: one part leads, once, twice, half or all the times it goes; the rest longest first."""
    of = problem.sections[section]
    slots = [slot(length, problem.rules) for length in of.lengths]
    room = problem.room(step)
    for lead, takes in enumerate(slots):
        most = min(room // takes, of.demand[lead])
        for times in sorted({1, 2, most // 2, most - 1, most}):
            if not 0 < times <= most:
                continue
            counts = [0] * len(slots)
            counts[lead] = times
            left = room - times * takes
            for i, other in enumerate(slots):
                if i != lead:
                    counts[i] = min(left // other, of.demand[i])
                    left -= counts[i] * other
            yield tuple(counts)


def _rough_ways(problem: Problem, family: Family, step: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """Fillings of the width with strips of one thickness to which no further strip can be added."""
    found = 0
    for thickness in sorted({s.thickness for s in problem.sections if s.thickness <= family.yields}):
        members = [(i, problem.across_slot(s)) for i, s in enumerate(problem.sections) if s.thickness == thickness]
        for counts in _fillings(family.across + problem.rules.rip_kerf, members):
            yield counts
            found += 1
            if found >= _MOST_WAYS:
                return


def _fillings(room: int, members: list[tuple[int, int]]) -> Iterator[tuple[tuple[int, int], ...]]:
    if not members:
        return
    (i, takes), *others = members
    for times in range(room // takes, -1, -1):
        mine = ((i, times),) if times else ()
        left = room - times * takes
        if others:
            for rest in _fillings(left, others):
                yield mine + rest
            if all(left < other for _, other in others) and mine:
                yield mine
        elif left < takes and mine:
            yield mine


def _board_ways(problem: Problem, along: int, known: list[int]) -> Iterator[tuple[tuple[int, int], ...]]:
    """Each length that occurs first, as often as it goes or once, then the longest of the others that fits."""
    grid, kerf = problem.rules.grid, problem.rules.crosscut_kerf
    room = along + kerf
    for lead in known[:_MOST_WAYS]:
        most = room // (lead * grid + kerf)
        for times in {1, most}:
            if not 0 < times <= most:
                continue
            counts = {lead: times}
            left = room - times * (lead * grid + kerf)
            for other in known:
                more = left // (other * grid + kerf)
                if more and other != lead:
                    counts[other] = more
                    left -= more * (other * grid + kerf)
            yield tuple(sorted(counts.items()))
