"""More cuts for whole plans: what is best with fractions need not fit together in whole numbers.

For every strip and rough length that already occurs, the ways a sawyer would try: each part first, as often as it
goes, then the longest that still fits; every filling of the width; and boards cut into the lengths that occur.
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.cutting.plan.columns import BoardCol, Lengths, RoughCol, StripCol, board_col
from planner.cutting.plan.master import Column
from planner.cutting.plan.problem import Family, Problem, Stuff
from planner.cutting.plan.worth import slot

# A rough length by its clear stretch, its family and its grid steps.
Key = tuple[int, Family, int]
_MOST_WAYS = 60
# How many grid steps a rough length is tried longer and shorter.
_SHIFT = 8


def more_columns(
    problem: Problem, rough: list[tuple[Family, int]], strips: list[tuple[int, Stuff, int]]
) -> Iterator[Column]:
    """Columns for the ``rough`` lengths and ``strips`` that occur: (family, grid steps), (section, stuff, steps)."""
    rough, strips = _either_thickness(problem, rough, strips)
    for section, stuff, step in strips:
        for counts in _strip_ways(problem, section, stuff, step):
            yield StripCol(section, stuff, step, counts)
    for family, step in rough:
        if family.layers > 1:
            yield RoughCol(family, step, ())
        for ways in _rough_ways(problem, family, step):
            yield RoughCol(family, step, ways)
    for i, kind in enumerate(problem.kinds):
        known = sorted({(step, family) for family, step in rough if family in kind.families}, reverse=True)
        yield from _board_ways(problem, i, known)


def _either_thickness(
    problem: Problem, rough: list[tuple[Family, int]], strips: list[tuple[int, Stuff, int]]
) -> tuple[list[tuple[Family, int]], list[tuple[int, Stuff, int]]]:
    """The same with every length that occurs of a board that may be resawn taken resawn and not resawn."""
    resawn = [kind.families for kind in problem.kinds if len(kind.families) > 1]
    if not resawn:
        return rough, strips
    lengths = dict.fromkeys(rough)
    rows = dict.fromkeys(strips)
    for families in resawn:
        for step in sorted({step for family, step in rough if family in families}):
            for family in families:
                lengths[family, step] = None
                for i, section in enumerate(problem.sections):
                    if section.thickness == family.yields or (family.layers == 1 and section.thickness < family.yields):
                        rows[i, family.stuff, step] = None
    return list(lengths), list(rows)


def nearby_columns(problem: Problem, columns: list[Column]) -> Iterator[Column]:
    """Columns near the ``columns`` of a plan: one of a board's rough lengths some grid steps longer or shorter, by
    itself or at the cost of another one, with strips and fillings for what it then is."""
    grid, kerf = problem.rules.grid, problem.rules.crosscut_kerf
    ways = {(c.family, c.step): c.strips for c in columns if isinstance(c, RoughCol)}
    done: set[tuple[Family, int]] = set()
    for column in dict.fromkeys(columns):
        if not isinstance(column, BoardCol):
            continue
        kind = problem.kinds[column.kind]
        times_of = {(one.stretch, one.family, one.step): one.times for one in column.steps}
        taken = [0] * len(kind.stretches)
        for (stretch, _, step), times in times_of.items():
            taken[stretch] += times * (step * grid + kerf)
        left = [(along + kerf - used) // grid for along, used in zip(kind.stretches, taken, strict=True)]
        for one in times_of:
            stretch, family, step = one
            for by in (*range(-_SHIFT, 0), *range(1, _SHIFT + 1)):
                fresh = step + by
                if not problem.least_step <= fresh <= problem.steps:
                    continue
                mine = (stretch, family, fresh)
                if by <= left[stretch]:
                    yield _changed(column.kind, times_of, (one,), (mine,))
                for other in times_of:
                    at, beside, size = other
                    if (
                        at == stretch
                        and (other != one or times_of[one] > 1)
                        and problem.least_step <= size - by <= problem.steps
                    ):
                        yield _changed(column.kind, times_of, (one, other), (mine, (at, beside, size - by)))
                if (family, fresh) in done:
                    continue
                done.add((family, fresh))
                strips = ways.get((family, step), ())
                if strips:
                    yield RoughCol(family, fresh, strips)
                for section, _ in strips:
                    for counts in _strip_ways(problem, section, family.stuff, fresh):
                        yield StripCol(section, family.stuff, fresh, counts)


def _changed(kind: int, times_of: dict[Key, int], gone: tuple[Key, ...], instead: tuple[Key, ...]) -> BoardCol:
    """The column of these rough lengths, so many of each, with some ``gone`` and others ``instead``."""
    times = dict(times_of)
    for key in gone:
        times[key] -= 1
    for key in instead:
        times[key] = times.get(key, 0) + 1
    return BoardCol(kind, tuple(Lengths(*key, n) for key, n in sorted(times.items()) if n))


def _strip_ways(problem: Problem, section: int, stuff: Stuff, step: int) -> Iterator[tuple[int, ...]]:
    """Counts by length: one part leads, once, twice, half or all the times it goes; the rest longest first."""
    of = problem.sections[section]
    demand = [n if not mark or mark in stuff.marks else 0 for n, mark in zip(of.demand, of.marks, strict=True)]
    slots = [slot(length, problem.rules) for length in of.lengths]
    room = problem.room(step)
    for lead, takes in enumerate(slots):
        most = min(room // takes, demand[lead])
        for times in sorted({1, 2, most // 2, most - 1, most}):
            if not 0 < times <= most:
                continue
            counts = [0] * len(slots)
            counts[lead] = times
            left = room - times * takes
            for i, other in enumerate(slots):
                if i != lead:
                    counts[i] = min(left // other, demand[i])
                    left -= counts[i] * other
            yield tuple(counts)


def _rough_ways(problem: Problem, family: Family, step: int) -> Iterator[tuple[tuple[int, int], ...]]:
    """Fillings of the width with strips of one thickness to which no further strip can be added."""
    found = 0
    able = {s.thickness for s in problem.sections if s.thickness <= family.yields}
    for thickness in sorted(able) if family.layers == 1 else [family.yields]:
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


def _board_ways(problem: Problem, kind: int, known: list[tuple[int, Family]]) -> Iterator[BoardCol]:
    """In every clear stretch, each length that occurs first, as often as it goes or once, then the longest of the
    others that fits."""
    grid, kerf = problem.rules.grid, problem.rules.crosscut_kerf
    for lead in known[:_MOST_WAYS]:
        for once in (True, False):
            made: list[tuple[int, Family, int]] = []
            for stretch, along in enumerate(problem.kinds[kind].stretches):
                left = along + kerf
                for step, family in [lead, *(other for other in known if other != lead)]:
                    times = left // (step * grid + kerf)
                    if once and (step, family) == lead:
                        times = min(times, 1)
                    made += [(stretch, family, step)] * times
                    left -= times * (step * grid + kerf)
            if any((step, family) == lead for _, family, step in made):
                yield board_col(kind, made)
