"""A timetable asked for, what was found kept, steps ticked, and what is left planned again."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.tasks import enqueue
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.plans.models import KeptTimetable, Plan, StepTick, TimetableSearch, timetable_fingerprint

from . import booking, planning
from .asked import Frozen, boards_of, frozen
from .searching import look
from .standing import DRY, needs_dry_count, number_of, numbered, own_step, ticked_of
from .wanted import Making

Spend = Callable[[], None]


class StandsAlready(PlannerError):
    """The step is ticked, or is not, as it was to be."""


def ask_for_timetable(
    *, who: Member | None, making: Making, wishes: Mapping, spend: Spend = lambda: None
) -> TimetableSearch:
    """Freeze the work as it is now with a first timetable of it, and have the worker look for a better one; what is
    ticked already, of any of the boards, is left out. Raises PlannerError, and changes nothing, for what cannot be made
    in these evenings."""
    owner_only(who)
    job = frozen(making, wishes, done_of(making, boards_of(making, wishes)))
    first = planning.first_times(job.text)
    with transaction.atomic():
        spend()
        if making.closed:
            raise PlannerError(making.closed)
        TimetableSearch.objects.filter(key__in=making.keys, ended_at=None).update(ended_at=timezone.now())
        search = TimetableSearch.objects.create(
            key=making.key,
            label=making.label,
            plan=making.plan,
            boards=job.boards,
            wishes=dict(wishes),
            first=job.first,
            form=first,
            asked_by=who,
        )
        search.task = enqueue(look, search.pk)
        search.save(update_fields=["task"])
        write_audit(who, f"A timetable for {making.label} was asked for.", search)
    return search


def keep_timetable(
    *, who: Member | None, making: Making, search: TimetableSearch, spend: Spend = lambda: None
) -> KeptTimetable:
    """Keep what a search found; its evenings are booked, and those of the one that counted before are free again."""
    owner_only(who)
    if search.key not in making.keys or search.plan_id != making.plan.pk or not search.form:
        raise PlannerError("No timetable was found yet.", mend="Look for one.")
    if faults := planning.faults_in_text(search.form):
        raise PlannerError(f"This timetable does not hold: {faults[0]}", mend="Look for one again.")
    with transaction.atomic():
        spend()
        if making.closed:
            raise PlannerError(making.closed)
        TimetableSearch.objects.filter(key__in=making.keys, ended_at=None).update(ended_at=timezone.now())
        return _keep(who, making, search.boards, search.wishes, search.first, search.form, search.advice)


def _keep(
    who: Member | None, making: Making, boards: list, wishes: Mapping, first: date, form: str, advice: list
) -> KeptTimetable:
    kept = KeptTimetable.objects.create(
        key=making.key,
        label=making.label,
        plan=making.plan,
        boards=boards,
        wishes=dict(wishes),
        first=first,
        form=form,
        advice=advice,
        kept_by=who,
        sha256=timetable_fingerprint(form),
    )
    booking.book(kept, making.before)
    write_audit(who, f"A timetable for {making.label} was kept.", kept)
    return kept


def tick(
    *,
    who: Member,
    making: Making,
    kept: KeptTimetable,
    step: str,
    done: bool,
    at: datetime | None = None,
    spend: Spend = lambda: None,
) -> StepTick:
    """Tick a step, or take its tick back; ``at`` says when, where that was before now. A row is not glued before its
    pieces were counted dry. Raises StandsAlready where it stands so."""
    words = planning.words_of(kept.form).get(step.removesuffix(DRY))
    if words is None or (step.endswith(DRY) and not needs_dry_count(kept.form, step.removesuffix(DRY))):
        raise PlannerError("This timetable has no such step.", mend="Choose it from the page.")
    with transaction.atomic():
        spend()
        if making.closed:
            raise PlannerError(making.closed)
        key, own = own_step(step, kept.boards, making.key)
        # Two who tick at once come one after the other, whichever timetable each of them has before them.
        plan = making.plan.pk if key == making.key else kept.boards[number_of(step) - 1]["plan"]
        Plan.objects.select_for_update(of=("self",)).get(pk=plan)
        stands = ticked_of(making.keys, kept.boards)
        if done and needs_dry_count(kept.form, step) and step + DRY not in stands:
            raise PlannerError(
                f"{words}: its pieces are not counted dry yet.",
                mend="Lay them without glue, count them, tick that first.",
            )
        if done == (step in stands):
            raise StandsAlready("It stands so already.", mend="Load the page again to see how far it is.")
        said = f"{words}: counted dry" if step.endswith(DRY) else words
        return StepTick.objects.create(key=key, step=own, words=said[:200], done=done, at=at or timezone.now(), who=who)


def done_of(making: Making, boards: Sequence[Mapping]) -> dict[str, datetime]:
    """What is ticked of each board that is to be made with others, by the number it will have. A query a board."""
    done = {step: at for step, at in ticked_of(making.keys).items() if number_of(step) == 1}
    for number, board in enumerate(boards[1:], start=2):
        own = ticked_of([board["key"]]).items()
        done |= {there: at for step, at in own if (there := numbered(step, number))}
    return done


def take_ticks_back(*, who: Member | None, making: Making, steps: Sequence[str]) -> None:
    """Take the ticks of steps back that stand, also of those that were left out since the rest was planned anew."""
    with transaction.atomic():
        Plan.objects.select_for_update(of=("self",)).get(pk=making.plan.pk)
        for step in ticked_of(making.keys).keys() & set(steps):
            words = StepTick.objects.filter(key__in=making.keys, step=step).latest("pk").words
            StepTick.objects.create(key=making.key, step=step, words=words, done=False, at=timezone.now(), who=who)


def plan_the_rest(
    *, who: Member | None, making: Making, kept: KeptTimetable, spend: Spend = lambda: None
) -> KeptTimetable:
    """Plan what is not ticked from now on, in the order it stood in, and keep that. Raises PlannerError where nothing
    is left, or it does not fit the sessions there are."""
    owner_only(who)
    stands = ticked_of(making.keys, kept.boards)
    job = frozen(making, {**kept.wishes, "first": timezone.localdate().isoformat()}, stands, kept)
    form = planning.times_again(job.text, job.first, kept.form, kept.first)
    with transaction.atomic():
        spend()
        if making.closed:
            raise PlannerError(making.closed)
        return _keep(who, making, job.boards, kept.wishes, job.first, form, kept.advice)


@dataclass(frozen=True)
class Anew:
    """What is left of a board, planned alone from today on as a timetable of before wished it, and not kept yet."""

    job: Frozen
    wishes: Mapping
    form: str

    @property
    def ready(self) -> date:
        return planning.moment(self.job.first, planning.finish_in(self.form)).date()


def planned_alone(making: Making, kept: KeptTimetable) -> Anew:
    """In the order it stood in where it was planned alone. Raises NothingLeft, and PlannerError where it does not fit
    the sessions there are."""
    wishes = {**kept.wishes, "first": timezone.localdate().isoformat(), "together": []}
    boards = boards_of(making, wishes)
    job = frozen(making, wishes, done_of(making, boards))
    alone = len(kept.boards) == 1 and kept.key in making.keys
    form = planning.times_again(job.text, job.first, kept.form, kept.first) if alone else planning.first_times(job.text)
    return Anew(job, wishes, form)


def keep_anew(*, who: Member | None, making: Making, anew: Anew) -> KeptTimetable:
    """Keep it and book its evenings. Part of the transaction that takes the work up again."""
    return _keep(who, making, anew.job.boards, anew.wishes, anew.job.first, anew.form, [])
