"""The timetables' one door to the planner.

A timetable's form is JSON: ``work`` as ``planner.gluing.form`` writes it, ``steps`` what each of its tasks is to who
does it, ``remarks``, the ``bounds`` no timetable undercuts, and the names of glue and finish. Times are slots of five
minutes from midnight at the start of a first day, which is kept beside it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date, datetime, time, timedelta
from fractions import Fraction

from django.utils import timezone

from planner.cautions import WORDS
from planner.errors import PlannerError
from planner.gluing import (
    HANDS,
    GlueWork,
    OneMore,
    SessionCard,
    Step,
    Timetable,
    Work,
    advice,
    bounds_of,
    by_date,
    cards_of,
    faults_of,
    fewest_sessions,
    find_again,
    find_timetable,
    from_json,
    glue_board_of,
    glue_work,
    in_order,
    to_json,
)
from shopapp.plans.models import canonical
from shopapp.schedule.log.planning import minutes_used
from shopapp.schedule.planning import SLOT_MINUTES
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Adhesive, Finish, Workshop

Slots = tuple[tuple[int, int], ...]
KeepGoing = Callable[[], bool]
SLOTS_A_DAY = 24 * 60 // SLOT_MINUTES
# Timetables made at a first look; the rules alone, so that a page answers at once.
_FIRST_STEPS = 12
# More than any search in the worker comes to in its seconds.
_MOST_STEPS = 10**6


class NothingLeft(PlannerError):
    """Every step of it is ticked."""


@dataclass(frozen=True)
class Materials:
    adhesive: Adhesive
    finish: Finish


def freeze(
    boards: Sequence[tuple[str, Mapping]],
    workshop: Workshop,
    materials: Materials,
    in_hand: bool,
    sessions: Slots,
    ticked: Mapping[str, int],
    by_hand: Collection[int] = (),
) -> str:
    """The form of boards' work, without times. ``ticked`` gives for steps that are done the slot hands left them at;
    ``by_hand`` are numbers of boards, from 1, that are handed over in person.
    Raises PlannerError where it cannot be made, or nothing is left to do."""
    made = glue_work(
        [
            replace(glue_board_of(record, label=label), by_hand=n in by_hand)
            for n, (label, record) in enumerate(boards, start=1)
        ],
        workshop_planning.glue_shop_of(workshop),
        workshop_planning.adhesive_of(materials.adhesive),
        workshop_planning.finish_of(materials.finish),
        workshop_planning.around_of(workshop, in_hand=in_hand),
        minutes_used(workshop),
        sessions,
        SLOT_MINUTES,
        done=ticked.keys(),
        ready=ticked,
        unit=workshop.unit,
    )
    if not any(task.attended for task in made.work.tasks):
        raise NothingLeft("Nothing is left to do.", mend="Take a tick back if something is to be done again.")
    about = {
        "remarks": list(made.remarks),
        "adhesive": materials.adhesive.name,
        "finish": materials.finish.name,
        "cures": materials.finish.cure is not None,
        "assumed": [one.name for one in (materials.adhesive, materials.finish) if one.is_assumed],
        "boards": [label for label, _ in boards],
    }
    return _text(made.work, None, [_plain(step) for step in made.steps], about)


def _text(work: Work, timetable: Timetable | None, steps: list, about: Mapping) -> str:
    return canonical({**about, "work": json.loads(to_json(work, timetable)), "steps": steps})


def first_times(text: str) -> str:
    """The form with a first timetable by the rules, and the bounds. Raises PlannerError where there is none."""
    opened = Opened.of(text)
    return opened.with_times(find_timetable(opened.work, steps=_FIRST_STEPS))


def better_times(text: str, wishes: Mapping, first: date, keep_going: KeepGoing) -> str:
    """The form with the best timetable of these wishes found while ``keep_going`` says so."""
    opened = Opened.of(text)
    if wishes["aim"] == "fewest":
        return opened.with_times(fewest_sessions(opened.work, keep_going, _MOST_STEPS))
    if wishes["aim"] == "by":
        due = day_slot(first, date.fromisoformat(wishes["due"])) + SLOTS_A_DAY
        found = by_date(opened.work, due, keep_going, _MOST_STEPS)
        return opened.with_times(found.timetable, latest=found.latest)
    return opened.with_times(find_timetable(opened.work, keep_going, _MOST_STEPS))


def times_again(text: str, first: date, before: str, before_first: date) -> str:
    """What is left of a timetable, put in again in the order it stood in."""
    opened, stood = Opened.of(text), Opened.of(before)
    assert stood.timetable is not None
    # Its slots were counted from another midnight.
    moved = day_slot(first, before_first)
    names = (task.name for task in stood.work.tasks)
    starts = {name: at + moved for name, at in zip(names, stood.timetable.starts, strict=True)}
    return opened.with_times(find_again(opened.work, starts))


@dataclass(frozen=True)
class Opened:
    """A form, read."""

    work: Work
    timetable: Timetable | None
    steps: tuple[Step, ...]
    about: Mapping

    @classmethod
    def of(cls, text: str) -> Opened:
        form = json.loads(text)
        work, timetable = from_json(json.dumps(form.pop("work")))
        return cls(work, timetable, tuple(_step(one) for one in form.pop("steps")), form)

    def with_times(self, timetable: Timetable, latest: int | None = None) -> str:
        """``latest`` is the slot after which nobody who begins is in time, where a day was asked for."""
        timetable = in_order(self.work, timetable)
        bounds = [[bound.what, bound.finish] for bound in bounds_of(self.work)]
        return _text(
            self.work,
            timetable,
            [_plain(step) for step in self.steps],
            {**self.about, "bounds": bounds, "latest": latest},
        )

    @property
    def glue_work(self) -> GlueWork:
        return GlueWork(self.work, self.steps, tuple(self.about["remarks"]))


def _plain(step: Step) -> dict:
    return {field.name: _bare(getattr(step, field.name)) for field in fields(step)}


def _bare(value: object) -> object:
    if isinstance(value, tuple):
        return [_bare(one) for one in value]
    return str(value) if isinstance(value, Fraction) else value


def _step(told: Mapping) -> Step:
    values = {name: tuple(value) if isinstance(value, list) else value for name, value in told.items()}
    return Step(**{**values, "minutes": tuple((name, Fraction(minutes)) for name, minutes in told["minutes"])})


def faults_in_text(text: str) -> list[str]:
    """What is wrong with a kept timetable's form, one sentence a fault."""
    try:
        opened = Opened.of(text)
    except (ValueError, KeyError, TypeError):
        return ["Its form cannot be read."]
    except PlannerError as error:
        return [str(error)]
    return ["It has no times."] if opened.timetable is None else list(faults_of(opened.timetable, opened.work))


# --- what pages show ----------------------------------------------------------------------------------------


def cards(opened: Opened) -> tuple[SessionCard, ...]:
    assert opened.timetable is not None
    return cards_of(opened.glue_work, opened.timetable)


def there_until(opened: Opened, day: int) -> int:
    """Minutes from a day's midnight to the end of the last session that begins on it."""
    ends = [closes for opens, closes in opened.work.sessions if opens // SLOTS_A_DAY == day]
    return (max(ends) - day * SLOTS_A_DAY) * SLOT_MINUTES


def words_of(text: str) -> dict[str, str]:
    """The words of every step that takes hands, by its key."""
    opened = Opened.of(text)
    return {step.key: step.words for step, task in zip(opened.steps, opened.work.tasks, strict=True) if task.attended}


def dry_counts_in(text: str) -> set[str]:
    """The keys of the steps whose pieces are laid and counted without glue first."""
    return {step.key for step in Opened.of(text).steps if step.is_counted_dry}


def hands_in(text: str, board: int | None = None) -> Slots:
    """The stretches in which hands are at it, or at one of its boards, one a session, from the first step to the end of
    the last."""
    opened = Opened.of(text)
    assert opened.timetable is not None
    spans = []
    for opens, closes in opened.work.sessions:
        at = [
            (start, start + task.attended)
            for start, task, step in zip(opened.timetable.starts, opened.work.tasks, opened.steps, strict=True)
            if task.attended and opens <= start < closes and board in (None, step.board)
        ]
        if at:
            spans.append((min(start for start, _ in at), max(end for _, end in at)))
    return tuple(spans)


def day_slot(first: date, day: date) -> int:
    """The slot at which a day begins."""
    return (day - first).days * SLOTS_A_DAY


def moment(first: date, slot: int) -> datetime:
    """A slot by the clock on the wall."""
    return datetime.combine(first, time()) + timedelta(minutes=slot * SLOT_MINUTES)


def slot_at(first: date, at: datetime) -> int:
    """The slot that begins at a moment or next after it, by the clock on the wall."""
    wall = timezone.localtime(at).replace(tzinfo=None)
    return -(-int((wall - datetime.combine(first, time())).total_seconds()) // (SLOT_MINUTES * 60))


def bound_words(what: str) -> str:
    """What holds the work up, for a sentence.

    >>> bound_words("clamps: Long ones"), bound_words("bench places")
    ('the clamps there are (Long ones)', 'the places at the bench')
    """
    known = {
        "path": "the longest chain of steps and waits",
        HANDS: "the hours of hands in these sessions",
        "bench places": "the places at the bench",
    }
    if what in known:
        return known[what]
    kind, _, name = what.partition(": ")
    return f"the {kind} there are ({name})" if name else f"the {kind} there are"


@dataclass(frozen=True)
class Left:
    """What is left alone, in words: when it is ``over`` (before a clock time), what it does ``overnight``, what it is
    left ``to`` (after minutes), and whether it stands in ``clamps``."""

    over: str
    overnight: str
    to: str
    clamps: bool


# By what the planner says happens at the end of a hold.
_LEFT = {
    "clamps off": Left("clamps off", "stays clamped overnight", "in clamps", True),
    "soaked: wipe": Left("wipe from", "is left to soak overnight", "to soak", False),
    "dry": Left("dry at", "dries overnight", "to dry", False),
}
_LEFT_ALONE = Left("over at", "is left alone overnight", "left alone", False)


def left_of(step: Step) -> Left:
    return _LEFT.get(step.ends, _LEFT_ALONE)


def work_minutes(opened: Opened) -> int:
    """The minutes of its steps as they are reckoned, before each is rounded up to whole slots; to the nearest."""
    return round(sum(step.attended for step in opened.steps if not step.running))


def holds_in(text: str) -> list[tuple[str, str, int, Left]]:
    """Words, key and minutes of every hold that keeps clamps or a place, and how it is left."""
    opened = Opened.of(text)
    return [
        (step.words, step.key, task.hold * SLOT_MINUTES, left_of(step))
        for step, task in zip(opened.steps, opened.work.tasks, strict=True)
        if task.hold and task.uses and task.attended
    ]


@dataclass(frozen=True)
class Minded:
    """What to mind at some step: a short name, the sentence and its source. ``grave`` ones are never folded away."""

    name: str
    words: str
    source: str
    grave: bool

    @property
    def named(self) -> str:
        """The sentence, beginning with its name."""
        begins = self.words.lower().startswith(self.name)
        return self.words if begins else f"{self.name.capitalize()}. {self.words}"


# Fingers at the saw, and fire.
_GRAVE = ("small_parts", "oily_rags")


def caution_of(kind: str) -> Minded:
    """What to mind at steps of this kind of concern."""
    found = WORDS[kind]
    return Minded(kind.replace("_", " "), found.words, found.source, kind in _GRAVE)


def advice_on(text: str, first: date, keep_going: KeepGoing) -> list[str]:
    """What one more of something or a second person would bring, a sentence each."""
    opened = Opened.of(text)
    found = advice(opened.work, opened.timetable, keep_going)
    told = [_gain(one, first) for one in found.more if one.pays]
    idle = [more_words(one.what, one.many) for one in found.more if not one.pays]
    return [*told, *([f"No sooner with {', '.join(idle)}."] if idle else [])]


def _gain(one: OneMore, first: date) -> str:
    assert one.found is not None
    ready = moment(first, one.found.finish)
    evenings = f", in {one.sessions} evening{'s' if one.sessions > 1 else ''} fewer" if one.sessions > 0 else ""
    return f"With {more_words(one.what, one.many)} it was found ready {ready:%a} {ready.day} {ready:%b}{evenings}."


def more_words(what: str, many: int) -> str:
    """
    >>> more_words("hands", 1), more_words("clamps: Long ones", 2), more_words("bench places", 1)
    ('one more person', '2 more clamps (Long ones)', 'one more bench place')
    """
    if what == HANDS:
        return "one more person"
    kind, _, name = what.partition(": ")
    number, kind = ("one", kind.removesuffix("s")) if many == 1 else (str(many), kind)
    return f"{number} more {kind}{f' ({name})' if name else ''}"


def goes_by_carrier(text: str, board: int = 1) -> bool:
    """Whether days of the carrier are in it for a board."""
    return any(step.kind == "carrier" and step.board == board for step in Opened.of(text).steps)


def finish_in(text: str) -> int:
    """The slot at which everything is done."""
    opened = Opened.of(text)
    assert opened.timetable is not None
    return opened.timetable.finish
