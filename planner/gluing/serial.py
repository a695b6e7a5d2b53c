"""Tasks put in one after another, each as early as what is there allows: the serial scheme of the textbooks.

    profile     how much of one thing is taken from when on
    placer      puts tasks in the order given, minding sessions, hands, jigs and clamps, and links both ways

The same scheme runs backwards, latest first, on the work turned around in time: what comes out of that is an order in
which to put the tasks in forwards again, often better than the one before (forward-backward improvement).
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from planner.gluing.terms import HANDS, TimetableError, Work

_NEVER = 10**9


class Profile:
    """How much of one thing is taken: ``taken[i]`` from ``times[i]`` until the next."""

    __slots__ = ("capacity", "taken", "times")

    def __init__(self, capacity: int) -> None:
        self.capacity = capacity
        self.times = [-_NEVER]
        self.taken = [0]

    def earliest(self, start: int, span: int, many: int) -> int:
        """The first start from ``start`` on at which ``many`` more are free for ``span`` slots."""
        times, taken = self.times, self.taken
        room = self.capacity - many
        i = bisect_right(times, start) - 1
        last = len(times)
        while i < last and (times[i] < start + span):
            if taken[i] > room:
                i += 1
                while i < last and taken[i] > room:
                    i += 1
                if i == last:
                    return _NEVER
                start = times[i]
            i += 1
        return start

    def take(self, start: int, end: int, many: int) -> None:
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


@dataclass(frozen=True, slots=True)
class Step:
    """A task as the scheme sees it: ``span`` slots in all, hands for ``attended`` of them from the ``wait``-th on."""

    span: int
    wait: int
    attended: int
    uses: tuple[tuple[str, int], ...]


class Scheme:
    """Work made ready to be put in many times over. ``before`` and ``after`` are (task, lag) that hold a task up;
    ``pairs`` ties a task to the one that has to follow it within a most."""

    def __init__(
        self,
        steps: Sequence[Step],
        links: Sequence[tuple[int, int, int]],
        capacity: dict[str, int],
        sessions: Sequence[tuple[int, int]],
    ) -> None:
        self.steps = list(steps)
        self.capacity = capacity
        self.opens = [opens for opens, _ in sessions]
        self.closes = [closes for _, closes in sessions]
        n = len(self.steps)
        self.before: list[list[tuple[int, int]]] = [[] for _ in range(n)]
        self.after: list[list[int]] = [[] for _ in range(n)]
        self.follower: dict[int, tuple[int, int]] = {}
        for first, then, lag in links:
            if lag >= 0:
                self.before[then].append((first, lag))
                self.after[first].append(then)
            else:
                # ``first`` may start at most -lag after ``then``.
                self.follower[then] = (first, -lag)
        # Whoever ties a follower to itself waits for all the follower waits for, so that both can be put in at once.
        self.holds_up = [list(after) for after in self.after]
        for leader, (follower, _) in self.follower.items():
            for first, _ in self.before[follower]:
                if first != leader:
                    self.holds_up[first].append(leader)

    def order_by(self, rank: Sequence[float]) -> list[int]:
        """All tasks, each after those before it, the least ``rank`` first."""
        waits = [0] * len(self.steps)
        for after in self.holds_up:
            for j in after:
                waits[j] += 1
        ready = [(rank[i], i) for i, count in enumerate(waits) if not count]
        heapify(ready)
        order = []
        while ready:
            _, i = heappop(ready)
            order.append(i)
            for j in self.holds_up[i]:
                waits[j] -= 1
                if not waits[j]:
                    heappush(ready, (rank[j], j))
        if len(order) != len(self.steps):
            raise TimetableError("Some tasks wait for one another in a ring.", mend="Take one of the links out.")
        return order

    def put_in(self, order: Sequence[int]) -> list[int]:
        """When each task starts if they are put in in this order. Raises TimetableError where the sessions end before
        everything is done."""
        profiles = {what: Profile(many) for what, many in self.capacity.items()}
        starts = [-1] * len(self.steps)
        for i in order:
            if starts[i] >= 0:
                continue
            start = self._earliest(i, profiles, self._free_from(i, starts))
            tied = self.follower.get(i)
            if tied is None:
                self._settle(i, start, profiles, starts)
                continue
            follower, most = tied
            while True:
                start = self._earliest(i, profiles, start)
                after = self._with_follower(i, start, follower, profiles, starts)
                if after <= start + most:
                    break
                start = max(start + 1, after - most)
            self._settle(i, start, profiles, starts)
            self._settle(follower, after, profiles, starts)
        return starts

    def _free_from(self, i: int, starts: list[int]) -> int:
        return max([starts[first] + lag for first, lag in self.before[i]], default=0)

    def _with_follower(self, i: int, start: int, follower: int, profiles: dict[str, Profile], starts: list[int]) -> int:
        """When the follower could start if ``i`` started at ``start``. Everything else the follower waits for is put in
        already or starts no later."""
        starts[i] = start
        least = max(
            [starts[first] + lag for first, lag in self.before[follower] if starts[first] >= 0],
            default=0,
        )
        starts[i] = -1
        # Only hands can be in the way of the two at once, and they do not overlap: the first is over before.
        return self._earliest(follower, profiles, max(least, start + self.steps[i].attended))

    def _settle(self, i: int, start: int, profiles: dict[str, Profile], starts: list[int]) -> None:
        step = self.steps[i]
        starts[i] = start
        if step.attended:
            profiles[HANDS].take(start + step.wait, start + step.wait + step.attended, 1)
        for what, many in step.uses:
            profiles[what].take(start, start + step.span, many)

    def _earliest(self, i: int, profiles: dict[str, Profile], start: int) -> int:
        step = self.steps[i]
        opens, closes = self.opens, self.closes
        hands = profiles[HANDS]
        while True:
            begun = start
            if step.attended:
                at = start + step.wait
                k = max(bisect_right(opens, at) - 1, 0)
                while True:
                    if k == len(opens):
                        raise TimetableError(
                            "The sessions end before everything is done.", mend="Plan for more weeks, or do less."
                        )
                    at = max(at, opens[k])
                    if at + step.attended <= closes[k]:
                        free = hands.earliest(at, step.attended, 1)
                        if free == at:
                            break
                        at = free
                        if at + step.attended <= closes[k]:
                            break
                    k += 1
                start = at - step.wait
            for what, many in step.uses:
                start = profiles[what].earliest(start, step.span, many)
                if start >= _NEVER:
                    raise TimetableError(f"There is not enough of {what}.", mend="Take on less at once.")
            if start == begun:
                return start


def scheme_of(work: Work) -> Scheme:
    steps = [Step(task.span, 0, task.attended, task.uses) for task in work.tasks]
    links = [(link.first, link.then, link.lag) for link in work.links]
    return Scheme(steps, links, dict(work.capacity), work.sessions)


def turned_around(work: Work, end: int) -> Scheme:
    """The same work with time running back from ``end``: what is put in early there is as late as can be here."""
    steps = [Step(task.span, task.hold, task.attended, task.uses) for task in work.tasks]
    links = []
    for link in work.links:
        lag = link.lag + work.tasks[link.then].span - work.tasks[link.first].span
        # A link that is no most stays none, though it may overlap backwards.
        links.append((link.then, link.first, lag if link.lag < 0 else max(lag, 0)))
    sessions = [(end - closes, end - opens) for opens, closes in reversed(work.sessions)]
    return Scheme(steps, links, dict(work.capacity), [one for one in sessions if one[0] >= 0 or one[1] > 0])
