"""A timetable as a drawing needs it: evenings side by side, what hands do in them, what jigs and clamps are in use.

All times are minutes from the timetable's first midnight.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby, pairwise

from planner.gluing.cards import CardLine, SessionCard, cards_of
from planner.gluing.steps import MINUTES_A_DAY, GlueWork, Step
from planner.gluing.terms import HANDS, Timetable


@dataclass(frozen=True, slots=True)
class Doing:
    """One task of hands, from and to; ``number`` counts in its evening what alike follow one another as one."""

    number: int
    begins: int
    ends: int


@dataclass(frozen=True, slots=True)
class Told:
    """What a number stands for, when it begins, and what it leaves."""

    number: int
    begins: int
    words: str


@dataclass(frozen=True, slots=True)
class Evening:
    """One session in which something is done."""

    opens: int
    closes: int
    doings: tuple[Doing, ...]
    told: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class Use:
    """From and to so many of a kind are in use, one stretch after another without a gap in it."""

    begins: int
    ends: int
    many: int


@dataclass(frozen=True, slots=True)
class Pool:
    """What there are ``there`` of, and when how many are in use."""

    name: str
    there: int
    uses: tuple[Use, ...]


@dataclass(frozen=True, slots=True)
class Wait:
    """Something cures, dries, settles or is on its way, with nobody at it and nothing in use."""

    begins: int
    ends: int
    words: str


# What the day so many after the first is called.
Days = Callable[[int], str]


@dataclass(frozen=True, slots=True)
class Seen:
    """A whole timetable. ``hands`` is how many there are at most."""

    days: Days
    evenings: tuple[Evening, ...]
    hands: int
    pools: tuple[Pool, ...]
    waits: tuple[Wait, ...]
    finish: int

    def day(self, at: int) -> str:
        return self.days(at // MINUTES_A_DAY)

    def clock(self, at: int) -> str:
        return _clock(at)


def seen(glue: GlueWork, timetable: Timetable, days: Days, labels: Sequence[str] = ()) -> Seen:
    """``labels`` are the names of the boards made together, told where there are several."""
    names = labels if len(labels) > 1 else ()
    evenings = tuple(_evening(card, names) for card in cards_of(glue, timetable))
    work, slot = glue.work, glue.work.slot_minutes
    pools = [
        Pool(what, there, _uses(glue, timetable, what, evenings))
        for what, there in work.capacity.items()
        if what != HANDS
    ]
    return Seen(
        days,
        evenings,
        work.capacity[HANDS],
        tuple(pool for pool in pools if pool.uses),
        tuple(_waits(glue, timetable)),
        timetable.finish * slot,
    )


def _evening(card: SessionCard, names: Sequence[str]) -> Evening:
    midnight = card.day * MINUTES_A_DAY
    doings, told = [], []
    groups = groupby(card.lines, lambda line: (line.step.kind, line.step.board, line.step.copy))
    for number, (_, some) in enumerate(groups, 1):
        lines = list(some)
        doings += [Doing(number, midnight + one.at, midnight + one.at + one.minutes) for one in lines]
        words = _group_words([line.step for line in lines])
        board = f", {names[lines[0].step.board - 1]}" if names else ""
        told.append(Told(number, midnight + lines[0].at, f"{words}{board}{_left(lines, card)}"))
    return Evening(midnight + card.opens, midnight + card.closes, tuple(doings), tuple(told))


def _group_words(steps: Sequence[Step]) -> str:
    """What alike steps are together; one alone keeps its own words."""
    if len(steps) == 1:
        return steps[0].words
    stage = steps[0].stage
    rows = sorted({row for step in steps for row in step.rows})
    if not rows:
        return f"{stage[:1].upper()}{stage[1:]}: {len(steps)} steps"
    which = row_ranges(rows)
    name = f"{stage}: {which}" if stage.startswith("rows") else f"{stage}: rows {which}"
    return f"{name[:1].upper()}{name[1:]}, {len(steps)} steps"


def row_ranges(rows: Iterable[int]) -> str:
    """Rows in order, those that follow one another as the first to the last.

    >>> row_ranges([1, 2, 3, 5, 8, 9])
    '1 to 3, 5, 8 and 9'
    """
    runs: list[list[int]] = []
    for row in rows:
        if runs and row == runs[-1][-1] + 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    return ", ".join(
        str(run[0]) if len(run) == 1 else f"{run[0]} {'and' if len(run) == 2 else 'to'} {run[-1]}" for run in runs
    )


# What is said before the clock time at which something left alone is over, by what ends it (``Step.ends``).
_ENDS = {"clamps off": "clamps off", "soaked: wipe": "wipe from", "dry": "dry at"}


def _left(lines: Sequence[CardLine], card: SessionCard) -> str:
    """What the last of them leaves: over the same evening at a clock time, or not."""
    last = lines[-1]
    if last.off is not None:
        return f"; {_ENDS.get(last.step.ends, 'over at')} {_clock(last.off)}"
    return "; stays overnight" if any(one.key == last.step.key for one in card.overnight) else ""


def _clock(minutes: int) -> str:
    return f"{minutes // 60 % 24:02}:{minutes % 60:02}"


def _uses(glue: GlueWork, timetable: Timetable, what: str, evenings: Sequence[Evening]) -> tuple[Use, ...]:
    """How many are in use when. What outlasts an evening is taken off in the next: nobody is there before."""
    slot = glue.work.slot_minutes
    change: dict[int, int] = {}
    for task, start in zip(glue.work.tasks, timetable.starts, strict=True):
        many = dict(task.uses).get(what, 0)
        if many:
            until = _taken_off((start + task.span) * slot, evenings)
            change[start * slot] = change.get(start * slot, 0) + many
            change[until] = change.get(until, 0) - many
    found, now = [], 0
    for begins, ends in pairwise(sorted(change)):
        now += change[begins]
        if now:
            found.append(Use(begins, ends, now))
    return tuple(found)


def _taken_off(until: int, evenings: Sequence[Evening]) -> int:
    for one, other in pairwise(evenings):
        if one.closes < until < other.opens:
            return other.opens
    return until


def _waits(glue: GlueWork, timetable: Timetable) -> Iterable[Wait]:
    slot = glue.work.slot_minutes
    for task, step, start in zip(glue.work.tasks, glue.steps, timetable.starts, strict=True):
        left, until = (start + task.attended) * slot, (start + task.span) * slot
        if task.hold and not task.uses:
            yield Wait(left, until, step.ends if task.attended and step.ends else step.words)
        if task.rest:
            yield Wait(until, until + task.rest * slot, "cures")
