"""What the page of tonight shows: the cards of every job that is begun, merged by time, and what stands in clamps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from shopapp.jobs.agreeing.readers import sawing_of
from shopapp.jobs.models import Job
from shopapp.plans.agreeing import Unlike
from shopapp.plans.timetable.readers import Card, Line, anchor_of, seen_of
from shopapp.schedule.planning import days_between
from shopapp.workshop import readers as workshop
from shopapp.workshop.models import Workshop

from . import planning
from .laying import Panel, Shown, shown_with
from .made import Made, made_of

State = Job.State
# What came out of clamps longer ago is not told any more.
_TOLD = timedelta(hours=5)
# The hour from which a session is an evening's.
_EVENING = 17
_MOST_CROSSINGS = 6


@dataclass(frozen=True)
class Task:
    """A line of tonight: a step of one job's timetable. ``over`` is the day it was planned for where that is past."""

    made: Made
    line: Line
    facts: planning.StepFacts
    evening: Card
    over: date | None = None
    shown: Shown = Shown()
    # How far its cut plan is, of a step in which that is sawn.
    sawn: str = ""
    # The job whose board it is, where it is one's; what is made with others may be a bare plan.
    job: Job | None = None

    @property
    def panel(self) -> Panel | None:
        return self.shown.panel

    @property
    def anchor(self) -> str:
        return f"j{self.made.job.pk}-{anchor_of(self.line.key)}"

    @property
    def board(self) -> int:
        return self.facts.step.board

    @property
    def label(self) -> str:
        return self.made.board(self.board)["label"]

    @property
    def panel_id(self) -> str:
        return f"lay-{self.anchor}"

    @property
    def done_at(self) -> datetime | None:
        return self.line.done

    @property
    def face_job(self) -> Job:
        """Whose rows are turned together with those of this step."""
        return self.job or self.made.job

    @property
    def face_down(self) -> bool:
        return self.face_job.face_down

    @property
    def face_value(self) -> str:
        """What its button sends that turns the rows."""
        return f"{'up' if self.face_down else 'down'}:{self.face_job.pk}:{self.made.kept.pk}:"

    @property
    def said(self) -> str:
        """What its button says once hands leave it."""
        return "Clamped" if self.facts.hold and self.facts.left.clamps else "Done"

    @property
    def free_at(self) -> datetime:
        """When what it takes is free again, by the clock on the wall."""
        return self.line.at + timedelta(minutes=self.line.minutes + self.facts.hold)

    @property
    def value(self) -> str:
        """What its buttons send, before the step's own end."""
        return f"{self.made.job.pk}:{self.made.kept.pk}:{self.line.key}"

    @property
    def pieces(self) -> int:
        """How many are counted without glue first, 0 where none are."""
        for words in self.facts.step.first:
            if words.startswith("dry count: "):
                return int(words.removeprefix("dry count: ").split()[0])
        return 0


@dataclass(frozen=True)
class Timer:
    """Something left alone until ``off``: its job, how it is over, and since when where it is."""

    made: Made
    alone: planning.Alone
    is_off: bool

    @property
    def label(self) -> str:
        board = self.made.facts.get(self.alone.key) or self.made.earlier.get(self.alone.key)
        return self.made.board(board.step.board if board else 1)["label"]

    @property
    def millis(self) -> int:
        return round(self.alone.off.timestamp() * 1000)


@dataclass(frozen=True)
class InTheWay:
    """Timetables kept apart that want one thing at once: the steps that take it, each with its job and until when."""

    crossing: planning.Crossing
    steps: list[tuple[str, str, datetime]]
    whose: list[Made]


@dataclass(frozen=True)
class Tonight:
    """``day`` is the day its cards are of; ``left_over`` are steps of earlier days that are not ticked; ``hands`` the
    minutes they take of ``there``, which is how many there are. ``not_begun`` are jobs whose evenings have come and
    that nobody began; ``without`` those begun without a timetable."""

    now: datetime
    day: date | None
    tasks: list[Task]
    left_over: list[Task]
    timers: list[Timer]
    crossings: list[InTheWay]
    hands: int
    there: int
    not_begun: list[Job]
    without: list[Job]
    evenings: list[Card]
    unlike: Sequence[Unlike] = ()

    @property
    def millis(self) -> int:
        return round(self.now.timestamp() * 1000)

    @property
    def is_today(self) -> bool:
        return self.day == self.now.date()

    @property
    def by_day(self) -> bool:
        """Whether all of it is in daylight: "today" is said of it, not "tonight"."""
        return bool(self.tasks) and all(task.line.at.hour < _EVENING for task in self.tasks)

    @property
    def behind(self) -> list[Made]:
        """Whose steps of earlier days are left."""
        return list({task.made.job.pk: task.made for task in self.left_over}.values())

    @property
    def in_the_way(self) -> list[Made]:
        return list({made.job.pk: made for one in self.crossings for made in one.whose}.values())

    @property
    def every(self) -> list[Task]:
        return [*self.left_over, *self.tasks]

    @property
    def many_jobs(self) -> bool:
        return len({(task.made.job.pk, task.board) for task in self.every}) > 1

    @property
    def shared(self) -> list[tuple[str, list[Task]]]:
        """Jigs, clamps and places that more than one job takes, and its steps by time."""
        found: dict[str, list[Task]] = {}
        for task in self.tasks:
            for pool in task.facts.pools:
                found.setdefault(pool, []).append(task)
        return [
            (planning.pool_words(pool), tasks)
            for pool, tasks in found.items()
            if len({task.label for task in tasks}) > 1
        ]

    @property
    def overnight(self) -> list[tuple[str, list[str]]]:
        found: dict[str, list[str]] = {}
        for evening in self.evenings:
            for how, which in evening.overnight:
                found.setdefault(how, []).extend(which)
        return list(found.items())

    @property
    def cautions(self) -> list:
        return list({one.name: one for evening in self.evenings for one in evening.cautions}.values())

    @property
    def grave(self) -> list:
        return [one for one in self.cautions if one.grave]

    @property
    def others(self) -> list:
        return [one for one in self.cautions if not one.grave]

    def next_of(self, asked: str) -> Task | None:
        """The step that is large on the page: the one that was asked for, else the first that is not done."""
        every = self.every
        chosen = next((task for task in every if task.anchor == asked), None)
        return chosen or next((task for task in every if task.done_at is None), None)


def tonight_of(now: datetime, shop: Workshop) -> Tonight:
    """Everything at a moment of the shop's clock. Fifteen queries, however many jobs there are."""
    wall = now.replace(tzinfo=None)
    jobs = list(
        Job.objects.filter(state__in=(State.PLANNED, State.UNDER_WAY), plan__isnull=False).only(
            "label", "kind", "due", "plan_id", "state", "face_down"
        )
    )
    made = made_of(jobs, now)
    begun = [one for one in made if one.job.state == State.UNDER_WAY]
    covered = {board["key"] for one in begun for board in one.boards} | {one.job.key for one in begun}
    tasks, left_over, evenings, day = _tasks_of(begun, wall)
    shown, sawing = shown_with([*left_over, *tasks], shop), sawing_of(begun)
    by_key = {job.key: job for job in jobs}
    left_over, tasks = (
        [
            replace(task, shown=shown[task.anchor], job=by_key.get(key), sawn=sawing.said.get(key, ""))
            for task in lot
            for key in [task.made.board(task.board)["key"]]
        ]
        for lot in (left_over, tasks)
    )
    there = planning.there_is(
        _counted(workshop.row_jigs()), _counted(workshop.clamps()), shop.bench_places, shop.people
    )
    going = [
        planning.Going(str(n), one.kept.form, one.kept.first, one.ticked, one.elsewhere) for n, one in enumerate(begun)
    ]
    crossings = planning.crossings(going, there, wall.date(), now) if len(going) > 1 else []
    hours = days_between(day or wall.date(), 1)[0].hours
    return Tonight(
        now=now,
        day=day,
        tasks=tasks,
        left_over=left_over,
        timers=_timers_of(begun, now),
        crossings=[_in_words(one, begun) for one in crossings[:_MOST_CROSSINGS]],
        hands=sum(task.line.minutes for task in tasks),
        there=sum((one.ends - one.starts) * one.people for one in hours),
        not_begun=[one.job for one in made if one.job.state == State.PLANNED and _has_come(one, wall)],
        without=[job for job in jobs if job.state == State.UNDER_WAY and job.key not in covered],
        evenings=evenings,
        unlike=sawing.unlike,
    )


def _in_words(crossing: planning.Crossing, begun: list[Made]) -> InTheWay:
    steps = [(words, begun[int(n)].job.label, until) for n, words, until in crossing.steps]
    return InTheWay(crossing, steps, [begun[int(n)] for n in crossing.whose])


def _counted(rows: Sequence) -> dict[str, int]:
    found: dict[str, int] = {}
    for row in rows:
        found[row.name] = found.get(row.name, 0) + row.count
    return found


def _tasks_of(begun: list[Made], wall: datetime) -> tuple[list[Task], list[Task], list[Card], date | None]:
    """Tonight's lines and those left over, by time; their cards, and the day they are of: today, or the next on which
    something is left to do."""
    cards = []
    for made in begun:
        kept = made.kept
        seen = seen_of(kept.form, kept.first, kept.wishes, (), made.ticked, wall.date())
        cards += [(made, card) for card in seen.cards if _lines_of(made, card)]
    here = [(made, card) for made, card in cards if _is_today(card, wall)]
    past = [(made, card) for made, card in cards if card.closes < wall and not _is_today(card, wall)]
    if not here:
        coming = [
            (made, card)
            for made, card in cards
            if card.opens > wall and any(x.done is None for x in _lines_of(made, card))
        ]
        first = min((card.opens.date() for _, card in coming), default=None)
        here = [(made, card) for made, card in coming if card.opens.date() == first]
    tasks = [_task(made, card, line) for made, card in here for line in _lines_of(made, card)]
    left_over = [
        _task(made, card, line, over=card.opens.date())
        for made, card in past
        for line in _lines_of(made, card)
        if line.done is None
    ]
    by_time = sorted(tasks, key=lambda task: (task.line.at, task.made.job.pk))
    day = min((card.opens.date() for _, card in here), default=None)
    late = sorted(left_over, key=lambda task: (task.line.at, task.made.job.pk))
    return by_time, late, [card for _, card in here], day


def _lines_of(made: Made, card: Card) -> list[Line]:
    return [line for line in card.lines if made.facts[line.key].step.board not in made.elsewhere]


def _is_open(made: Made, card: Card) -> bool:
    return any(line.done is None for line in _lines_of(made, card))


def _is_today(card: Card, wall: datetime) -> bool:
    """Also a session that began before midnight and is not over."""
    return card.opens.date() == wall.date() or card.opens <= wall <= card.closes


def _task(made: Made, card: Card, line: Line, over: date | None = None) -> Task:
    return Task(made, line, made.facts[line.key], card, over)


def _has_come(made: Made, wall: datetime) -> bool:
    spans = planning.begins_of(made.kept.form, made.kept.first)
    return spans is not None and spans.date() <= wall.date()


def _timers_of(begun: list[Made], now: datetime) -> list[Timer]:
    """What stands in clamps, soonest over first; what came out within the last hours after it."""
    found = [
        Timer(made, alone, alone.off <= now)
        for made in begun
        for alone in planning.alone_in(made.kept.form, made.kept.first, made.ticked, made.earlier)
        if alone.off > now - _TOLD
    ]
    return sorted(found, key=lambda timer: timer.alone.off)
