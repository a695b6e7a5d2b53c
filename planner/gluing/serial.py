"""Tasks put in one after another, each as early as what is there allows: the serial scheme of the textbooks.

    profile     how much of one thing is taken from when on; hands are all taken outside of sessions
    bundles     tasks tied to one another by a most are put in together, or not yet
    marks       where an order begins like one before, what was put in there is taken over

The same scheme runs backwards, latest first, on the work turned around in time: what comes out of that is an order in
which to put the tasks in forwards again, often better than the one before (forward-backward improvement).

After the last session an overflow without end begins, so that every order has starts and a worse one is told from a
bad one; what reaches into it is no timetable.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from planner.gluing.bundles import bundles_of, in_order
from planner.gluing.redundant import binding
from planner.gluing.terms import HANDS, TimetableError, Work

_NEVER = 10**9
# So many tasks are put in between two marks.
_MARK = 12


class Profile:
    """How much of one thing is taken: ``taken[i]`` from ``times[i]`` until the next; neighbours differ."""

    __slots__ = ("capacity", "taken", "times")

    def __init__(self, capacity: int, times: list[int] | None = None, taken: list[int] | None = None) -> None:
        self.capacity = capacity
        self.times = times or [-_NEVER]
        self.taken = taken or [0]

    def copy(self) -> Profile:
        return Profile(self.capacity, self.times.copy(), self.taken.copy())

    def earliest(self, start: int, span: int, many: int) -> int:
        """The first start from ``start`` on at which ``many`` more are free for ``span`` slots."""
        times, taken = self.times, self.taken
        room = self.capacity - many
        i = bisect_right(times, start) - 1
        last = len(times)
        until = start + span
        while i < last and times[i] < until:
            if taken[i] > room:
                i += 1
                while i < last and taken[i] > room:
                    i += 1
                if i == last:
                    return _NEVER
                start = times[i]
                until = start + span
            i += 1
        return start

    def take(self, start: int, end: int, many: int) -> None:
        """Take ``many`` more from ``start`` to ``end``; fewer than nought gives back."""
        if start == end:
            return
        times, taken = self.times, self.taken
        i = bisect_left(times, start)
        if i == len(times) or times[i] != start:
            times.insert(i, start)
            taken.insert(i, taken[i - 1])
        j = bisect_left(times, end, i)
        if j == len(times) or times[j] != end:
            times.insert(j, end)
            taken.insert(j, taken[j - 1])
        for k in range(i, j):
            taken[k] += many
        if taken[j] == taken[j - 1]:
            del times[j], taken[j]
        if taken[i] == taken[i - 1]:
            del times[i], taken[i]


@dataclass(frozen=True, slots=True)
class Step:
    """A task as the scheme sees it: ``span`` slots in all, hands for ``attended`` of them from the ``wait``-th on, not
    before ``release``."""

    span: int
    wait: int
    attended: int
    uses: tuple[tuple[str, int], ...]
    release: int = 0


@dataclass(frozen=True, slots=True)
class Trace:
    """Tasks as they were put in, and after how many of them which profiles stood there."""

    order: Sequence[int]
    starts: list[int]
    marks: list[tuple[int, list[Profile]]]


class Scheme:
    """Work made ready to be put in many times over. ``before`` are (task, lag) that hold a task up; ``mosts`` are
    (task, most) it has to follow within. ``overflow`` is where the sessions are over."""

    def __init__(
        self,
        steps: Sequence[Step],
        links: Sequence[tuple[int, int, int]],
        capacity: Mapping[str, int],
        sessions: Sequence[tuple[int, int]],
    ) -> None:
        self.steps = list(steps)
        n = len(self.steps)
        self.before: list[list[tuple[int, int]]] = [[] for _ in range(n)]
        self.mosts: list[list[tuple[int, int]]] = [[] for _ in range(n)]
        for first, then, lag in links:
            if lag >= 0:
                self.before[then].append((first, lag))
            else:
                # ``first`` may start at most -lag after ``then``.
                self.mosts[first].append((then, -lag))
        self.topological = in_order(self.before)
        self.bundles = bundles_of(self.before, self.mosts, self.topological)
        # Whoever leads a bundle waits for all its members wait for, so that all of them can be put in at once.
        self.waits: list[list[int]] = [[first for first, _ in before] for before in self.before]
        self.follows: dict[int, int] = {}
        for leader, members in self.bundles.items():
            inside = {leader, *members}
            self.waits[leader] = [p for i in inside for p, _ in self.before[i] if p not in inside]
            for i in members:
                self.follows[i] = leader
        self.leaders = self._leaders()
        for step in self.steps:
            for what, many in step.uses:
                if many > capacity.get(what, 0):
                    raise TimetableError(f"There is not enough of {what}.", mend="Take on less at once.")
        names = binding([step.uses for step in self.steps], capacity)
        self.hands = capacity[HANDS]
        self.limits = [capacity[what] for what in names]
        self.uses = [
            tuple((names.index(what) + 1, many) for what, many in step.uses if what in names and step.span)
            for step in self.steps
        ]
        self.set_sessions(sessions)

    def set_sessions(self, sessions: Sequence[tuple[int, int]]) -> None:
        """Other sessions for the same work."""
        self.opens = [opens for opens, _ in sessions]
        self.closes = [closes for _, closes in sessions]
        self.overflow = (self.closes[-1] if sessions else 0) + 1
        self.touching = any(opens == closes for opens, closes in zip(self.opens[1:], self.closes, strict=False))
        times, taken = [-_NEVER], [self.hands]
        for at, many in [*chain.from_iterable(((o, 0), (c, self.hands)) for o, c in sessions), (self.overflow, 0)]:
            if times[-1] == at:
                del times[-1], taken[-1]
            if taken[-1] != many:
                times.append(at)
                taken.append(many)
        self._calendar = Profile(self.hands, times, taken)

    def _leaders(self) -> list[int]:
        """Leaders and what is tied to nothing, each after what it waits for."""
        alone = [i for i in range(len(self.steps)) if i not in self.follows]
        place = {i: k for k, i in enumerate(alone)}
        waits = [[(place[self.follows.get(p, p)], 0) for p in self.waits[i]] for i in alone]
        return [alone[k] for k in in_order(waits)]

    def order_by(self, rank: Sequence[float]) -> list[int]:
        """All that leads or is tied to nothing, each after what it waits for, the least ``rank`` first."""
        late = list(rank)
        for i in self.leaders:
            own = late[i]
            for p in self.waits[i]:
                if late[p] > own:
                    own = late[p]
            late[i] = own
            if i in self.bundles:
                for j in self.bundles[i]:
                    late[j] = own
        return sorted(self.leaders, key=late.__getitem__)

    def put_in(self, order: Sequence[int]) -> list[int]:
        """When each task starts if they are put in in this order, which ``order_by`` gave."""
        trace = self.trace(order)
        assert trace is not None
        return trace.starts

    def trace(
        self, order: Sequence[int], base: Trace | None = None, latest: Sequence[int] | None = None
    ) -> Trace | None:
        """The same with what it takes to begin from there again; ``base`` is one to begin from. None as soon as a task
        starts after its ``latest``."""
        starts = [-1] * len(self.steps)
        profiles, marks, begin = None, [], 0
        if base is not None:
            same = 0
            for one, other in zip(order, base.order, strict=True):
                if one != other:
                    break
                same += 1
            marks = [mark for mark in base.marks if mark[0] <= same]
            if marks:
                begin = marks[-1][0]
                profiles = [profile.copy() for profile in marks[-1][1]]
                for i in order[:begin]:
                    starts[i] = base.starts[i]
                    for j in self.bundles.get(i, ()):
                        starts[j] = base.starts[j]
        if profiles is None:
            profiles = [self._calendar.copy(), *(Profile(many) for many in self.limits)]
        for at in range(begin, len(order)):
            i = order[at]
            if at and at % _MARK == 0 and at > begin:
                marks.append((at, [profile.copy() for profile in profiles]))
            if i in self.bundles:
                if not self._put_bundle((i, *self.bundles[i]), profiles, starts, latest):
                    return None
                continue
            start = self.steps[i].release
            for first, lag in self.before[i]:
                if starts[first] + lag > start:
                    start = starts[first] + lag
            start = self._earliest(i, profiles, start)
            if latest is not None and start > latest[i]:
                return None
            starts[i] = start
            self._take(i, start, profiles, 1)
        return Trace(order, starts, marks)

    def _put_bundle(
        self, members: Sequence[int], profiles: list[Profile], starts: list[int], latest: Sequence[int] | None
    ) -> bool:
        """Each as early as can be; who is followed too late is put in anew, so much later."""
        least = {i: self.steps[i].release for i in members}
        while True:
            done: list[int] = []
            for i in members:
                start = least[i]
                for first, lag in self.before[i]:
                    start = max(start, starts[first] + lag)
                starts[i] = start = self._earliest(i, profiles, start)
                self._take(i, start, profiles, 1)
                done.append(i)
                tied = [(then, start - most) for then, most in self.mosts[i] if starts[then] >= 0]
                late = [(then, at) for then, at in tied if starts[then] < at]
                if late:
                    if start >= self.overflow and all(starts[then] >= self.overflow for then, _ in late):
                        raise TimetableError(
                            "No timetable was found that keeps every wait.", mend="Allow more time between tasks."
                        )
                    least.update(late)
                    break
            else:
                return latest is None or all(starts[i] <= latest[i] for i in members)
            for i in done:
                self._take(i, starts[i], profiles, -1)
            for i in members:
                starts[i] = -1

    def _take(self, i: int, start: int, profiles: list[Profile], sign: int) -> None:
        step = self.steps[i]
        if step.attended:
            profiles[0].take(start + step.wait, start + step.wait + step.attended, sign)
        for what, many in self.uses[i]:
            profiles[what].take(start, start + step.span, many * sign)

    def _earliest(self, i: int, profiles: list[Profile], start: int) -> int:
        step, uses = self.steps[i], self.uses[i]
        attended, wait, span = step.attended, step.wait, step.span
        hands = profiles[0]
        while True:
            begun = start
            if attended:
                start = hands.earliest(start + wait, attended, 1) - wait
                if self.touching:
                    start = self._within_one(start + wait, attended, hands) - wait
            for what, many in uses:
                start = profiles[what].earliest(start, span, many)
            if start == begun or not uses:
                return start

    def _within_one(self, at: int, attended: int, hands: Profile) -> int:
        """Where one session begins as another ends, nothing goes across."""
        while at < self.overflow:
            k = bisect_right(self.opens, at) - 1
            if at + attended <= self.closes[k]:
                break
            at = hands.earliest(self.opens[k + 1] if k + 1 < len(self.opens) else self.overflow, attended, 1)
        return at


def scheme_of(work: Work) -> Scheme:
    steps = [Step(task.span, 0, task.attended, task.uses) for task in work.tasks]
    links = [(link.first, link.then, link.lag) for link in work.links]
    return Scheme(steps, links, work.capacity, work.sessions)


def turned_around(work: Work, end: int) -> Scheme:
    """The same work with time running back from ``end``, when every rest is over: what is put in early there is as late
    as can be here."""
    steps = [Step(task.span, task.hold, task.attended, task.uses, task.rest) for task in work.tasks]
    links = []
    for link in work.links:
        lag = link.lag + work.tasks[link.then].span - work.tasks[link.first].span
        # A link that is no most stays none, though it may overlap backwards.
        links.append((link.then, link.first, lag if link.lag < 0 else max(lag, 0)))
    sessions = [(max(end - closes, 0), end - opens) for opens, closes in reversed(work.sessions) if opens < end]
    return Scheme(steps, links, work.capacity, sessions)
