"""Tonight's door to the planner: kept timetables in, what their steps use, what is left alone and what clashes out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from fractions import Fraction
from functools import lru_cache

from django.utils import timezone

from planner.drawing import RowPiece, WoodLook, places_of, row_svg
from planner.gluing import HANDS, Clash, InUse, Step, Task, clashes
from planner.gluing.tools import BENCH
from shopapp.jobs.gauged.planning import Sizes
from shopapp.plans.planning import looks_of
from shopapp.plans.timetable import planning as timetables
from shopapp.schedule.log.planning import is_operation, operation_words
from shopapp.schedule.planning import SLOT_MINUTES

# A timetable of a large board is a long text, read anew only when it is another.
opened_form = lru_cache(maxsize=24)(timetables.Opened.of)
# What the names of tools say that nobody wrote down yet.
ASSUMED = ", as an assumption"
LAID_KINDS = ("row", "panel")


@dataclass(frozen=True)
class StepFacts:
    """What a step is beside its line on a card. ``operation`` is what most of its minutes are logged as, empty where it
    has none; ``hold`` how many minutes what it leaves stands alone in clamps or at a place, 0 where nothing does;
    ``uses`` what it takes of the shop, in words, ``pools`` as timetables call it."""

    step: Step
    operation: str
    operation_words: str
    hold: int
    left: timetables.Left
    uses: str
    pools: tuple[str, ...] = ()

    @property
    def ended(self) -> str:
        return ended_words(self.left)

    @property
    def is_laid(self) -> bool:
        """Whether it lays pieces end to end, or strips side by side."""
        return self.step.kind in LAID_KINDS


@dataclass(frozen=True)
class Alone:
    """Something left alone that is over at ``off``, a moment of the world's clock."""

    key: str
    words: str
    left: timetables.Left
    off: datetime

    @property
    def ended(self) -> str:
        return ended_words(self.left)


def facts_of(form: str) -> dict[str, StepFacts]:
    """Every step that takes hands, by its key."""
    opened = opened_form(form)
    return {
        step.key: _facts(step, task)
        for step, task in zip(opened.steps, opened.work.tasks, strict=True)
        if task.attended
    }


def _facts(step: Step, task: Task) -> StepFacts:
    logged = [one for one in step.minutes if is_operation(one[0])]
    operation = max(logged, key=lambda one: one[1])[0] if logged else ""
    return StepFacts(
        step,
        operation,
        operation_words(operation) if operation else "",
        task.hold * SLOT_MINUTES if task.uses else 0,
        timetables.left_of(step),
        ", ".join(used_words(what, many) for what, many in task.uses),
        tuple(pool for pool, _ in task.uses),
    )


def ended_words(left: timetables.Left) -> str:
    """One large word for what is over: "off" of clamps, "wipe", "dry"."""
    return "off" if left.clamps else left.over.split()[0]


def begins_of(form: str, first: date) -> datetime | None:
    """When hands are first at it, by the clock on the wall."""
    opened = opened_form(form)
    if opened.timetable is None:
        return None
    starts = [at for at, task in zip(opened.timetable.starts, opened.work.tasks, strict=True) if task.attended]
    return timetables.moment(first, min(starts)) if starts else None


def used_words(pool: str, many: int) -> str:
    """
    >>> used_words("jigs: Small jig", 1), used_words("clamps: Long ones", 4), used_words("bench places", 1)
    ('1 jig (Small jig)', '4 clamps', 'a place at the bench')
    """
    if pool == BENCH:
        return "a place at the bench"
    kind, _, name = pool.partition(": ")
    return f"1 {kind.removesuffix('s')} ({_plain(name)})" if many == 1 else f"{many} {kind}"


def _plain(name: str) -> str:
    """A tool's name without what its starting name says of itself: that nobody wrote it down."""
    return name.replace(ASSUMED, "")


def pool_words(pool: str) -> str:
    """
    >>> pool_words("jigs: Small jig"), pool_words("bench places")
    ('Small jig', 'Places at the bench')
    """
    return "Places at the bench" if pool == BENCH else _plain(pool.partition(": ")[2]) or pool


def alone_in(
    form: str, first: date, ticked: Mapping[str, datetime], earlier: Mapping[str, StepFacts] | None = None
) -> list[Alone]:
    """What was ticked and is left alone in clamps or at a place: when hands left it and as long as its sheet says, by
    the hours that pass. ``earlier`` are steps that were ticked before the rest was planned anew; of others of those,
    as this timetable says."""
    opened = opened_form(form)
    earlier = earlier or {}
    found = [
        Alone(key, facts.step.words, facts.left, ticked[key] + timedelta(minutes=facts.hold))
        for key, facts in earlier.items()
        if facts.hold and key in ticked
    ]
    for step, task in zip(opened.steps, opened.work.tasks, strict=True):
        if not task.hold or not task.uses or step.key not in ticked or step.key in earlier:
            continue
        if task.attended:
            off = ticked[step.key] + timedelta(minutes=task.hold * SLOT_MINUTES)
        else:
            off = timezone.make_aware(timetables.moment(first, task.hold))
        found.append(Alone(step.key, step.words, timetables.left_of(step), off))
    return found


# --- what clashes --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Going:
    """A timetable that is worked by: whose, its form and first day, what is ticked of it, and which of its boards are
    made by another timetable since."""

    whose: str
    form: str
    first: date
    ticked: Mapping[str, datetime]
    elsewhere: frozenset[int] = frozenset()


@dataclass(frozen=True)
class Crossing:
    """Timetables kept apart that want one thing at once, from ``at`` by the clock on the wall: what each step takes and
    until when."""

    what: str
    at: datetime
    wanted: int
    there: int
    whose: tuple[str, ...]
    steps: tuple[tuple[str, str, datetime], ...]


def crossings(going: Sequence[Going], there: Mapping[str, int], today: date, now: datetime) -> list[Crossing]:
    """Where timetables kept apart get in each other's way from now on, the soonest first. ``there`` are jigs, clamps,
    places and hands by what the planner calls them."""
    soonest = timetables.slot_at(today, now)
    uses = [use for one in going for use in _in_use(one, today, soonest)]
    pooled: dict[str, int] = {}
    for one in going:
        pooled |= opened_form(one.form).work.capacity
    found = clashes(uses, there, {pool: count for pool, count in pooled.items() if pool not in there})
    return [_crossing(clash, today) for clash in found]


def _in_use(one: Going, today: date, soonest: int) -> Iterable[InUse]:
    opened = opened_form(one.form)
    if opened.timetable is None:
        return
    moved = timetables.day_slot(today, one.first)
    for step, task, start in zip(opened.steps, opened.work.tasks, opened.timetable.starts, strict=True):
        if step.board in one.elsewhere:
            continue
        began, attended = start + moved, task.attended
        if step.key in one.ticked and attended:
            # Hands left it when it was ticked; what it stands in is taken until its time is over.
            began, attended = timetables.slot_at(today, one.ticked[step.key]), 0
        elif attended and began < soonest:
            # Not done when it was to be: nobody knows when it will.
            continue
        ends = began + attended + task.hold
        if ends <= soonest:
            continue
        for pool, many in task.uses:
            yield InUse(one.whose, step.words, pool, many, max(began, soonest), ends)
        if attended:
            yield InUse(one.whose, step.words, HANDS, 1, began, began + attended)


def _crossing(clash: Clash, today: date) -> Crossing:
    names = [_plain(kind.partition(": ")[2]) or kind for kind in clash.kinds]
    steps = ((use.whose, use.words, timetables.moment(today, use.ends)) for use in clash.uses)
    return Crossing(
        " and ".join(names),
        timetables.moment(today, clash.at),
        clash.wanted,
        clash.there,
        tuple(sorted(clash.whose)),
        tuple(dict.fromkeys(steps)),
    )


def there_is(jigs: Mapping[str, int], clamps: Mapping[str, int], places: int, people: int) -> dict[str, int]:
    """What there is of everything by itself, as timetables call it."""
    return {
        **{f"jigs: {name}": many for name, many in jigs.items()},
        **{f"clamps: {name}": many for name, many in clamps.items()},
        BENCH: places,
        HANDS: people,
    }


# --- the row being laid ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Run:
    """A piece of the row being laid: its wood, by ``mark`` too, how many tiles, how long, and where it is drawn, as
    beginning and length, face up and face down. ``planned`` is how long it was to be, where that is not so;
    ``part`` its number in the record."""

    wood: str
    mark: str
    tells: str
    length: str
    up: str
    down: str
    planned: str = ""
    part: int = 0


@dataclass(frozen=True)
class Laying:
    """A row or a panel, large: drawn face up and face down, and its pieces in the order they are laid."""

    up: str
    down: str
    runs: list[Run]


def laying_of(
    record: Mapping,
    parts: Sequence[tuple[int, str]],
    names: Mapping[str, str],
    axis: int,
    title: str,
    sizes: Sizes | None = None,
) -> Laying:
    """``parts`` are numbers of the record's parts in the order they are laid, each with what is said of how much of it
    there is; ``axis`` 0 where they lie end to end. Pieces of rows are as long as follows from ``sizes`` as made."""
    looks = looks_of(dict(record))
    pieces = [_piece(record["parts"][number], tells) for number, tells in parts]
    ups, downs = (places_of(pieces, mirrored=mirrored) for mirrored in (False, True))
    stage = "crosscut" if axis == 0 else "gauged"
    runs = []
    for (number, tells), up, down in zip(parts, ups, downs, strict=True):
        part = record["parts"][number]
        planned = part["stages"][stage][axis]
        long = planned if sizes is None or axis else str(sizes.crosscut(number).mm)
        runs.append(
            Run(
                names[part["wood"]],
                looks[part["wood"]].mark,
                tells,
                long,
                f"{up[0]:.1f} {up[1]:.1f}",
                f"{down[0]:.1f} {down[1]:.1f}",
                planned if long != planned else "",
                number,
            )
        )
    return Laying(_drawn(pieces, looks, False, title), _drawn(pieces, looks, True, title), runs)


def _piece(part: Mapping, tells: str) -> RowPiece:
    long, wide = (float(Fraction(text)) for text in part["place"])
    return RowPiece(part["wood"], long, wide, tells.split(" ")[0])


def _drawn(pieces: Sequence[RowPiece], looks: Mapping[str, WoodLook], mirrored: bool, title: str) -> str:
    how = "face down, begun at the right" if mirrored else "face up, begun at the left"
    return row_svg(pieces, looks, mirrored=mirrored, title=f"{title}, {how}")
