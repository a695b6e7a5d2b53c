"""One of cut plan and evenings ticked after the other, where whoever stands at the bench says so; each by entries of
its own, which are taken back where such are."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from planner.errors import PlannerError
from shopapp.jobs.cutting import cutting_of
from shopapp.jobs.evenings import timetable_of
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.plans.agreeing import Unlike
from shopapp.plans.cutting.doing.actions import report
from shopapp.plans.cutting.doing.standing import newest_sheet
from shopapp.plans.timetable.actions import tick
from shopapp.plans.timetable.standing import numbered

from .readers import unlike_of

Spend = Callable[[], None]


def agree(*, who: Member, job: Job, seen: str, spend: Spend = lambda: None) -> str:
    """Tick what ``seen`` was read of (``Unlike.seen``): the rough lengths that are left, or the steps; all or none. In
    a sentence what was ticked. Raises PlannerError where it stands otherwise by now, StockMoved where a board is not
    out."""
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan").get(pk=job.pk)
        unlike = unlike_of(job)
        if unlike is None or unlike.seen != seen:
            raise PlannerError("Cut plan and evenings stand otherwise by now.", mend="Here is how they stand.")
        if unlike.cuts:
            return _tick_cuts(who, job, unlike)
        return _tick_steps(who, job, unlike)


def _tick_cuts(who: Member, job: Job, unlike: Unlike) -> str:
    cutting, sheet = cutting_of(job), newest_sheet(job.key, job.plan_id)
    assert sheet is not None
    for mark, _ in unlike.cuts:
        report(who=who, cutting=cutting, sheet=sheet, board=mark, rough=None)
    many = len(unlike.rough)
    return f"{many} rough length{'s' * (many != 1)} of {job.label} {'is' if many == 1 else 'are'} ticked as cut."


def _tick_steps(who: Member, job: Job, unlike: Unlike) -> str:
    kept, number = timetable_of(job)
    assert kept is not None
    holder, _, pk = kept.key.partition(" ")
    making = making_of_job(int(pk) if number > 1 and holder == "job" else job.pk)
    for step, _ in unlike.steps:
        tick(who=who, making=making, kept=kept, step=numbered(step, number), done=True)
    words = "; ".join(words for _, words in unlike.steps)
    return f"{job.label}: done in its evenings: {words}."
