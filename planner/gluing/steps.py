"""A step of the making: what a task of the timetable is to whoever does it, and the task graph while it is drawn up.

A draft names every step by a text that stays the same when the work is planned anew, so that ticks find their steps:
"1/row/7" is row 7 of the first board, "2.3/flatten/1" the first lot of flattening the third copy of the second.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import ceil, floor

from planner.gluing.terms import Link, Task, TimetableError, Work

MINUTES_A_DAY = 24 * 60


@dataclass(frozen=True, slots=True)
class Step:
    """``board`` is the place of its board among those made together, from 1, ``copy`` which of its copies (0: all of
    them). ``minutes`` are the operations' minutes before they were rounded up to slots, by operation. ``first`` are
    what is looked at before it is begun, ``writes`` what is written on the wood in it, ``cautions`` the kinds
    concerned. ``ends`` says in words what happens when its hold is over ("clamps off"). ``running`` steps are ticked;
    only their hold or cure goes on."""

    key: str
    kind: str
    stage: str
    board: int
    copy: int
    words: str
    rows: tuple[int, ...] = ()
    minutes: tuple[tuple[str, Fraction], ...] = ()
    first: tuple[str, ...] = ()
    writes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    ends: str = ""
    running: bool = False

    @property
    def is_counted_dry(self) -> bool:
        """Whether its pieces are laid and counted without glue first."""
        return self.kind in ("row", "panel")

    @property
    def attended(self) -> Fraction:
        return sum((minutes for _, minutes in self.minutes), Fraction(0))


@dataclass(frozen=True, slots=True)
class GlueWork:
    """The work of one or more boards, a step for every task, and what was decided on the way, in sentences."""

    work: Work
    steps: tuple[Step, ...]
    remarks: tuple[str, ...] = ()


@dataclass
class Draft:
    """A task graph while it is drawn up. Minutes go in, slots come out: attended time, holds and waits are rounded up,
    a most is rounded down."""

    slot: int
    sessions: tuple[tuple[int, int], ...]
    tasks: list[Task] = field(default_factory=list)
    steps: list[Step] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    place: dict[str, int] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)

    @property
    def longest(self) -> int:
        return max(closes - opens for opens, closes in self.sessions)

    def up(self, minutes: Fraction | int) -> int:
        return ceil(Fraction(minutes) / self.slot)

    def add(self, step: Step, number: int, hold: int = 0, uses: Iterable[tuple[str, int]] = (), rest: int = 0) -> str:
        """Put a step in, its hold and rest in minutes; ``number`` is the board's in the timetable. Gives its key.

        Raises TimetableError where it takes longer than the longest session, naming the step."""
        attended = self.up(step.attended)
        if attended > self.longest:
            raise TimetableError(
                f"{step.words} takes {attended * self.slot} minutes in one go; the longest session has "
                f"{self.longest * self.slot}.",
                mend="Plan a longer session, or do less at once.",
                field="sessions",
            )
        self.place[step.key] = len(self.tasks)
        self.tasks.append(Task(step.key, number, attended, self.up(hold), tuple(uses), self.up(rest)))
        self.steps.append(step)
        return step.key

    def after(self, first: str, then: str, wait: int = 0) -> None:
        """``then`` starts when ``first`` is over, hold and all, and ``wait`` minutes have passed."""
        i, j = self.place[first], self.place[then]
        self.links.append(Link(i, j, self.tasks[i].span + self.up(wait)))

    def within(self, first: str, then: str, most: int) -> None:
        """``then`` starts no later than ``most`` minutes after hands left ``first``."""
        i, j = self.place[first], self.place[then]
        self.links.append(Link(j, i, -(self.tasks[i].attended + floor(Fraction(most) / self.slot))))

    def has_room_within(self, first: str, then: str, most: int) -> bool:
        """Whether any sessions let ``then`` start when ``first`` is over and no later than ``within`` would have it."""
        one, other = (self.tasks[self.place[key]] for key in (first, then))
        latest = one.attended + floor(Fraction(most) / self.slot)
        return any(
            opens - ends + one.attended <= latest and one.span <= closes - other.attended - begins
            for begins, ends in self.sessions
            if ends - begins >= one.attended
            for opens, closes in self.sessions
            if closes - opens >= other.attended
        )

    def rest_of(self, key: str, minutes: int) -> None:
        """What counts as done only so much later."""
        i = self.place[key]
        self.tasks[i] = replace(self.tasks[i], rest=self.up(minutes))
