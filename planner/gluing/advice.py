"""What would help: one more jig, clamps for one more load, one more place, a second pair of hands.

What cannot help is told without a search: where the floor with one more is no lower than what is found already, or
where something else runs short before it does. What might is looked for as long again as the timetable as it is, and
told as found, not as promised.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from planner.gluing.bounds import Bound, bounds_of
from planner.gluing.checker import faults_of
from planner.gluing.fewest import sessions_of
from planner.gluing.redundant import binding
from planner.gluing.search import find_timetable
from planner.gluing.terms import HANDS, Timetable, Work

# A gain is worth a jig from half a day on.
_WORTH_MINUTES = 12 * 60
_STEPS = 600


@dataclass(frozen=True, slots=True)
class OneMore:
    """``many`` more of ``what`` ("hands" for a person): so many that one more load goes in at once. ``floor`` is what
    no timetable undercuts then; ``found`` the best one found, None where nothing was gained: the floor says so, or it
    never runs short.
    ``slots`` and ``sessions`` are gained against the best timetable without it; ``pays`` from half a day or a session
    on."""

    what: str
    many: int
    floor: Bound
    found: Timetable | None
    slots: int
    sessions: int
    pays: bool


@dataclass(frozen=True, slots=True)
class Advice:
    """``bounds`` of the work as it is, the largest first: it cannot be done earlier than that of each. ``timetable`` is
    the best found without anything more, ``more`` what one more of each thing would bring, the largest gain first."""

    timetable: Timetable
    bounds: tuple[Bound, ...]
    more: tuple[OneMore, ...]

    @property
    def limit(self) -> Bound:
        """What holds the work up most."""
        return self.bounds[0]

    @property
    def proved(self) -> bool:
        """Whether nothing earlier can be."""
        return self.timetable.finish <= self.limit.finish


def advice(
    work: Work,
    known: Timetable | None = None,
    keep_going: Callable[[], bool] = lambda: True,
    steps: int = _STEPS,
    seed: int = 1,
) -> Advice:
    """``known`` is a timetable found already; ``steps`` are timetables made for it as it is and for each thing, fewer
    when ``keep_going`` says no. Raises TimetableError like ``find_timetable``."""
    firsts = [list(map(float, known.starts))] if known is not None else []
    bounds = bounds_of(work)
    best = find_timetable(work, keep_going, steps, seed=seed, firsts=firsts)
    if known is not None and known.finish <= best.finish:
        best = known
    richer, found = {}, dict[str, Timetable]()
    loads = _one_load_more(work)
    short = {HANDS, *binding([task.uses for task in work.tasks], work.capacity)}
    for what, many in loads.items():
        richer[what] = replace(work, capacity={**work.capacity, what: work.capacity[what] + many})
        if what in short and bounds_of(richer[what])[0].finish < best.finish:
            order = [list(map(float, best.starts))]
            found[what] = find_timetable(richer[what], keep_going, steps, seed=seed, firsts=order)
            if found[what].finish < best.finish and not faults_of(found[what], work):
                # It does without: a better timetable of the work as it is.
                best = found[what]
    more = [_told(work, best, what, many, bounds_of(richer[what])[0], found.get(what)) for what, many in loads.items()]
    return Advice(best, bounds, tuple(sorted(more, key=lambda one: (-one.slots, -one.sessions))))


def _one_load_more(work: Work) -> dict[str, int]:
    """By thing how many more let one more load of the commonest kind in; nothing where all loads go in at once."""
    loads: dict[str, list[int]] = {}
    for task in work.tasks:
        for what, many in (*((HANDS, 1),) * bool(task.attended), *task.uses):
            loads.setdefault(what, []).append(many)
    found = {}
    for what, each in sorted(loads.items(), key=lambda one: (one[0] != HANDS, one[0])):
        if sum(each) > work.capacity[what]:
            common = max(sorted(set(each)), key=each.count)
            found[what] = common - work.capacity[what] % common
    return found


def _told(work: Work, best: Timetable, what: str, many: int, floor: Bound, found: Timetable | None) -> OneMore:
    if found is None or found.finish > best.finish or floor.finish >= best.finish:
        return OneMore(what, many, floor, None, 0, 0, False)
    slots = best.finish - found.finish
    sessions = len(sessions_of(work, best.starts)) - len(sessions_of(work, found.starts))
    pays = slots * work.slot_minutes >= _WORTH_MINUTES or (slots >= 0 and sessions > 0)
    return OneMore(what, many, floor, found, slots, sessions, pays)
