"""Several boards with days of their own, made by the same hands: by the rules, and what each of them waits for.

Two rules, and the better answer of the two: boards one after another, what is due first before; and every step by the
latest start from which its own board could still be in time. Fewer late boards are better, then fewer hours too late,
then sooner finishes. Rules of the textbooks (earliest due date, least slack), not a search: quick enough to ask again
with one thing changed.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

from planner.gluing.checker import faults_of
from planner.gluing.search import check
from planner.gluing.serial import Profile, Scheme, scheme_of
from planner.gluing.steps import GlueWork
from planner.gluing.terms import HANDS, Link, Timetable, TimetableError

_A_BOARD = 10**7


@dataclass(frozen=True, slots=True)
class Several:
    """A timetable of several boards: the work it is of, and by a board's place the slot it is finished at. ``without``
    are places of boards for which the sessions end too soon; nothing of them is in ``made``."""

    made: GlueWork
    timetable: Timetable
    finishes: Mapping[int, int]
    without: tuple[int, ...] = ()


def only(made: GlueWork, places: Collection[int]) -> GlueWork:
    """The work of some of the boards; of the others only what stands in clamps already, for it needs no hands."""
    kept = [
        i for i, step in enumerate(made.steps) if step.board in places or (step.running and made.work.tasks[i].uses)
    ]
    number = {old: new for new, old in enumerate(kept)}
    links = tuple(
        Link(number[link.first], number[link.then], link.lag)
        for link in made.work.links
        if link.first in number and link.then in number
    )
    work = replace(made.work, tasks=tuple(made.work.tasks[i] for i in kept), links=links)
    return GlueWork(work, tuple(made.steps[i] for i in kept), made.remarks)


def by_their_days(
    made: GlueWork, dues: Mapping[int, int], first: Sequence[int] = (), last: Sequence[int] = ()
) -> Several:
    """``dues`` are by a board's place the slot it has to be finished at; one without comes after all that have one.
    Boards ``first`` and ``last`` are put in before and after all others, whatever their days.

    Raises TimetableError where a step has no session or not enough of something."""
    places = sorted({step.board for step in made.steps})
    without: list[int] = []
    while True:
        some = only(made, places) if without else made
        found = _put_in(some, places, dues, first, last)
        closes = some.work.sessions[-1][1] if some.work.sessions else 0
        over = [place for place in places if found and _reaches_over(some, found.timetable, place, closes)]
        if found is not None and not over:
            return replace(found, without=tuple(without))
        # The last in turn gives way: what is due before it keeps its hours.
        gives = _turn(places, dues, first, last)[-1]
        if len(over) and gives not in over:
            gives = over[-1]
        without.append(gives)
        places.remove(gives)
        if not places:
            return Several(only(made, ()), Timetable((), 0), {}, tuple(sorted(without)))


def _reaches_over(made: GlueWork, timetable: Timetable, place: int, closes: int) -> bool:
    return any(
        task.attended and start + task.attended > closes
        for task, step, start in zip(made.work.tasks, made.steps, timetable.starts, strict=True)
        if step.board == place
    )


def _turn(places: Sequence[int], dues: Mapping[int, int], first: Sequence[int], last: Sequence[int]) -> list[int]:
    def rank(place: int) -> tuple[int, int, int]:
        ahead = 0 if place in first else 2 if place in last else 1
        return ahead, dues.get(place, _A_BOARD), place

    return sorted(places, key=rank)


def _put_in(
    made: GlueWork, places: Sequence[int], dues: Mapping[int, int], first: Sequence[int], last: Sequence[int]
) -> Several | None:
    check(made.work)
    scheme = scheme_of(made.work)
    tails = _tails(made, scheme)
    turn = {place: at for at, place in enumerate(_turn(places, dues, first, last))}
    ahead, behind = set(first), set(last)
    boards = [step.board for step in made.steps]
    one_by_one = [float(turn.get(b, -1) * _A_BOARD - tail) for b, tail in zip(boards, tails, strict=True)]
    by_slack = [
        float((-1 if b in ahead else 1 if b in behind else 0) * _A_BOARD * 10 + dues.get(b, _A_BOARD) - tail)
        for b, tail in zip(boards, tails, strict=True)
    ]
    found: list[tuple[tuple[int, int, int], Several]] = []
    for ranks in (one_by_one, by_slack):
        try:
            starts = scheme.put_in(scheme.order_by(ranks))
        except TimetableError:
            continue
        finishes: dict[int, int] = {}
        for task, board, start in zip(made.work.tasks, boards, starts, strict=True):
            finishes[board] = max(finishes.get(board, 0), start + task.span + task.rest)
        timetable = Timetable(tuple(starts), max(finishes.values(), default=0))
        mine = {place: finishes[place] for place in places if place in finishes}
        over = [max(0, at - dues[place]) for place, at in mine.items() if place in dues]
        score = (sum(o > 0 for o in over), sum(over), sum(mine.values()))
        found.append((score, Several(made, timetable, mine)))
    # What the checker refuses is never told, whichever rule made it.
    better_first = sorted(found, key=lambda one: one[0])
    return next((one for _, one in better_first if not faults_of_several(one)), None)


def _tails(made: GlueWork, scheme: Scheme) -> list[int]:
    """What has to happen after each step begins, waits included, in its own board."""
    tails = [task.span + task.rest for task in made.work.tasks]
    for then in reversed(scheme.topological):
        for before, lag in scheme.before[then]:
            if made.steps[before].board == made.steps[then].board:
                tails[before] = max(tails[before], lag + tails[then])
    return tails


def faults_of_several(found: Several) -> tuple[str, ...]:
    """What the checker says of it."""
    return faults_of(found.timetable, found.made.work)


# --- what holds a board up ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class HeldUp:
    """What a board's time goes to on the way to its last step, in slots: hands at ``work``, ``waits`` after steps of a
    kind (glue curing after "row"), until there are ``hours`` again, for ``taken`` things (hands, jigs, clamps) that
    other steps have; ``by`` are other boards those steps are of, by how many slots they had hands meanwhile."""

    work: int
    waits: Mapping[str, int]
    hours: int
    taken: Mapping[str, int]
    by: Mapping[int, int] = field(default_factory=dict)


def held_up(found: Several, place: int) -> HeldUp:
    """Followed back from what is finished last of a board, step by step, to what each was waiting for: together the
    slots from 0 to its finish."""
    work, steps, starts = found.made.work, found.made.steps, found.timetable.starts
    before: list[list[tuple[int, int]]] = [[] for _ in work.tasks]
    for link in work.links:
        if link.lag >= 0:
            before[link.then].append((link.first, link.lag))
    mine = [i for i, step in enumerate(steps) if step.board == place]
    i = max(mine, key=lambda k: starts[k] + work.tasks[k].span + work.tasks[k].rest)
    waits, taken, by = Counter[str](), Counter[str](), Counter[int]()
    hands, hours = work.tasks[i].attended, 0
    waits[steps[i].kind] += work.tasks[i].hold + work.tasks[i].rest
    while True:
        ready, p = max(((starts[p] + lag, p) for p, lag in before[i]), default=(0, -1))
        if starts[i] > ready:
            open_at = _open_from(work.sessions, ready, work.tasks[i].attended)
            free = min(max(open_at, ready), starts[i])
            hours += free - ready
            if starts[i] > free:
                taken[_taken(found, i, ready, free)] += starts[i] - free
                for k, (task, step) in enumerate(zip(work.tasks, steps, strict=True)):
                    if step.board != place:
                        by[step.board] += max(0, min(starts[k] + task.attended, starts[i]) - max(starts[k], free))
        if p < 0:
            break
        attended = min(work.tasks[p].attended, ready - starts[p])
        hands += attended
        waits[steps[p].kind] += ready - starts[p] - attended
        i = p
    return HeldUp(hands, +waits, hours, +taken, +by)


def _open_from(sessions: Sequence[tuple[int, int]], at: int, attended: int) -> int:
    if not attended:
        return at
    return next((max(opens, at) for opens, closes in sessions if max(opens, at) + attended <= closes), at)


def _taken(found: Several, i: int, ready: int, free: int) -> str:
    """What a step that could begin at ``free`` waits for: the jig, clamps or place it gets last, else hands."""
    work, starts = found.made.work, found.timetable.starts
    latest, name = free, HANDS
    for what, many in work.tasks[i].uses:
        profile = Profile(work.capacity[what])
        for k, (task, at) in enumerate(zip(work.tasks, starts, strict=True)):
            taken = dict(task.uses).get(what, 0)
            if k != i and taken:
                profile.take(at, at + task.span, taken)
        at = profile.earliest(ready, work.tasks[i].span, many)
        if at > latest:
            latest, name = at, what
    return name


def one_load_more(made: GlueWork) -> dict[str, int]:
    """Of everything that can run short how many more let one load of the commonest kind in besides."""
    loads: dict[str, list[int]] = {}
    for task in made.work.tasks:
        for what, many in (*((HANDS, 1),) * bool(task.attended), *task.uses):
            loads.setdefault(what, []).append(many)
    more = {}
    for what, each in sorted(loads.items()):
        there = made.work.capacity[what]
        if sum(each) > there:
            common = max(sorted(set(each)), key=each.count)
            more[what] = common - there % common
    return more
