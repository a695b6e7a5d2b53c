"""What is left of the work once some of its steps are ticked: those are gone, and what they were waited for goes on.

A step whose clamps are still on, or whose glue or finish still cures, stays in the work without hands, from slot 0 on:
its jig and clamps are taken until it is over, and whatever waits for it waits no longer than it would have.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace

from planner.gluing.steps import Draft, GlueWork, Step
from planner.gluing.terms import Link, Task, Work


def left_of(
    draft: Draft,
    capacity: Mapping[str, int],
    done: Collection[str],
    ready: Mapping[str, int],
) -> GlueWork:
    """The work without the steps whose keys are ``done``, and without what had to be done before them, ticked or not.
    ``ready`` gives for such a step the slot at which hands left it; where there is none, it is over and dry. What is
    over before the first session begins holds nothing up."""
    left = _Left(draft, _gone(draft, done), ready)
    links = list(left.links())
    kept = list(left.kept())
    number = {old: new for new, (old, _, _) in enumerate(kept)}
    tasks, steps = tuple(task for _, task, _ in kept), tuple(step for _, _, step in kept)
    links = [Link(number[link.first], number[link.then], link.lag) for link in links]
    links += _taken_first(tasks, steps)
    work = Work(tasks, tuple(links), dict(capacity), draft.sessions, draft.slot)
    return GlueWork(work, steps, tuple(dict.fromkeys([*draft.remarks, *left.remarks])))


def _gone(draft: Draft, done: Collection[str]) -> set[int]:
    """Numbers of the steps that are done: no row was glued before it was cut, whoever forgot to tick that."""
    before: dict[int, list[int]] = {}
    for link in draft.links:
        if link.lag >= 0:
            before.setdefault(link.then, []).append(link.first)
    gone: set[int] = set()
    ahead = [i for i, step in enumerate(draft.steps) if step.key in done]
    while ahead:
        i = ahead.pop()
        if i not in gone:
            gone.add(i)
            ahead += before.get(i, ())
    return gone


def _taken_first(tasks: tuple[Task, ...], steps: tuple[Step, ...]) -> Iterator[Link]:
    """Whatever uses what a running step holds is put in after it, so that the running one has it from the start."""
    for i, (task, step) in enumerate(zip(tasks, steps, strict=True)):
        if step.running and task.uses:
            taken = {what for what, _ in task.uses}
            for j, other in enumerate(tasks):
                if not steps[j].running and taken & {what for what, _ in other.uses}:
                    yield Link(i, j, 0)


@dataclass
class _Left:
    draft: Draft
    gone: set[int]
    ready: Mapping[str, int]
    remarks: list[str] = field(default_factory=list)
    running: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        tasks, steps = self.draft.tasks, self.draft.steps
        self.now = self.draft.sessions[0][0]
        # When each of them was begun, so far as that is known.
        self.began = {i: self.ready[steps[i].key] - tasks[i].attended for i in self.gone if steps[i].key in self.ready}

    def links(self) -> Iterator[Link]:
        for link in self.draft.links:
            if link.first not in self.gone and link.then not in self.gone:
                yield link
            elif link.lag >= 0 and link.then not in self.gone and link.first in self.began:
                over = self.began[link.first] + link.lag
                if over > self.now:
                    self.running.add(link.first)
                    yield Link(link.first, link.then, over)
            elif link.lag < 0 and link.first not in self.gone and link.then in self.began:
                yield from self._most(link)

    def _most(self, link: Link) -> Iterator[Link]:
        """A step that had to follow a ticked one within a most still has to, if a session leaves it the time."""
        tasks = self.draft.tasks
        soonest = self.began[link.then] + tasks[link.then].span
        latest = self.began[link.then] - link.lag
        starts = ((max(opens, soonest), closes) for opens, closes in self.draft.sessions)
        if any(start <= latest and start + tasks[link.first].attended <= closes for start, closes in starts):
            self.running.add(link.then)
            yield Link(link.first, link.then, -latest)
        else:
            self.remarks.append(f"{self.draft.steps[link.first].words}: its time is over already; do it at once.")

    def kept(self) -> Iterator[tuple[int, Task, Step]]:
        """What is not ticked, and what is and still goes on; after ``links``, which says what is waited for."""
        for i, (task, step) in enumerate(zip(self.draft.tasks, self.draft.steps, strict=True)):
            if i not in self.gone:
                yield i, task, step
            elif i in self.began:
                over = self.began[i] + task.span
                hold = over if over > self.now else 0
                rest = max(over + task.rest - max(hold, 0), 0) if task.rest else 0
                if hold or rest or i in self.running:
                    left = replace(task, attended=0, hold=hold, uses=task.uses if hold else (), rest=rest)
                    yield i, left, replace(step, minutes=(), running=True)
