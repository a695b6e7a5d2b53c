"""Parts written down as spoiled, wanted besides, or cut again; each taken back by another entry."""

from __future__ import annotations

from collections.abc import Callable

from django.core.exceptions import PermissionDenied
from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.jobs.actions import CLOSED
from shopapp.jobs.models import Job, PartEntry
from shopapp.people.models import Member

from .counting import count_of, held
from .planning import Alike, alike_in, spares_left, still_to_cut

Spend = Callable[[], None]
Kind = PartEntry.Kind
MOST_AT_ONCE = 9999
# What the sums of a list are kept within, whatever is written down.
_MOST_IN_ALL = 1_000_000


def write_parts(
    *, who: Member | None, job: Job, kind: str, part: int, count: int, why: str = "", spend: Spend = lambda: None
) -> PartEntry:
    """Write parts of a job's plan down. Raises PlannerError for what cannot be: no such part, more spoiled than there
    were, more cut again than had to be, a job that is over."""
    with transaction.atomic():
        spend()
        job = _open(job)
        alike = _alike(job, part)
        if kind not in (Kind.SPOILED, Kind.BESIDES, Kind.AGAIN):
            raise PlannerError("Nothing was said of these parts.", mend="Choose what happened.", field="kind")
        if not 1 <= count <= MOST_AT_ONCE:
            raise PlannerError(f"{count} is no number of parts.", mend=f"Write 1 to {MOST_AT_ONCE}.", field="count")
        if kind != Kind.AGAIN and not why.strip():
            raise PlannerError("It is not said why.", mend="Write a word or two.", field="why")
        _may(job, alike, kind, count)
        entry = PartEntry.objects.create(
            job=job, plan=job.plan, kind=kind, part=alike.parts[0], what=_called(job, alike), count=count,
            why=" ".join(why.split())[:160], who=who,
        )  # fmt: skip
        write_audit(who, f"{job.label}: {entry}.", job)
        return entry


def take_back(*, who: Member | None, job: Job, entry: PartEntry, spend: Spend = lambda: None) -> PartEntry:
    """Take an entry back by another: the owner any, others their own. Raises PlannerError where it was taken back
    already, or where what was cut again since would have been cut for nothing."""
    with transaction.atomic():
        spend()
        job = _open(job)
        entry = PartEntry.objects.get(pk=entry.pk, job=job)
        if who is not None and not who.is_owner and entry.who_id != who.pk:
            raise PermissionDenied
        if entry.kind == Kind.TAKEN_BACK or PartEntry.objects.filter(undoes=entry).exists():
            raise PlannerError("That was taken back already.", mend="Here is how it stands.")
        back = PartEntry.objects.create(
            job=job, plan=entry.plan, kind=Kind.TAKEN_BACK, part=entry.part, what=entry.what, count=entry.count,
            who=who, undoes=entry,
        )  # fmt: skip
        write_audit(who, f"{job.label}: taken back: {entry}.", job)
        return back


def _open(job: Job) -> Job:
    """The job, held until the entry is written; whoever else writes one waits."""
    job = Job.objects.select_for_update(of=("self",)).select_related("plan").get(pk=job.pk)
    if job.plan is None:
        raise PlannerError("It has no kept plan any more.", mend="Give it one; its parts are known then.")
    if job.state in CLOSED:
        raise PlannerError(
            f"{job.label} is {job.get_state_display()}: nothing more is cut for it.",
            mend="Take it up again first, or write another job.",
        )
    return job


def _alike(job: Job, part: int) -> Alike:
    found = next((one for one in alike_in(job.plan) if part in one.parts), None)
    if found is None:
        raise PlannerError("The plan has no such part.", mend="Choose one of its parts.", field="part")
    return found


def _called(job: Job, alike: Alike) -> str:
    names = {one["wood"]: one["name"] for one in job.plan.record["woods"]}
    return f"{names[alike.wood]}, {alike.name}"[:160]


def _may(job: Job, alike: Alike, kind: str, count: int) -> None:
    now = count_of(held(job), alike)
    there = alike.planned + alike.spares + now.again
    if kind == Kind.SPOILED and now.spoiled + count > there:
        raise PlannerError(
            f"That is more than there are: {there} in all, {now.spoiled} of them written down as spoiled.",
            mend="Write how many were spoiled this time; what was cut again is written down first.",
            field="count",
        )
    if kind == Kind.BESIDES and now.besides + count > _MOST_IN_ALL:
        raise PlannerError("That is more than anybody cuts.", mend="Write fewer.", field="count")
    if kind == Kind.AGAIN and count > (left := still_to_cut(alike, now)):
        spare = spares_left(alike, now)
        raise PlannerError(
            f"{left} of it {'is' if left == 1 else 'are'} to be cut again"
            f"{f', and {spare} spare lie there' if spare else ''}.",
            mend="Write no more than that; what is cut beyond it is wanted besides the plan.",
            field="count",
        )
