"""When Reedbank Workshop makes its lanterns: timetables by the week's hours, kept, and their evenings booked; one of
them is begun, its rows are being glued, and one that lay ready was spoiled."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from shopapp.jobs.actions import JobFacts, make_job, move_job
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.spoiled.rows import write_row
from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable, Plan
from shopapp.plans.timetable.actions import ask_for_timetable, keep_timetable, plan_the_rest, tick
from shopapp.plans.timetable.readers import seen_of, usual_wishes
from shopapp.plans.timetable.standing import DRY, needs_dry_count
from shopapp.plans.timetable.wanted import Making

# Of the lantern that is begun everything is done up to the first rows; the last of them stands in clamps.
_ROWS_DONE = 3
_BEFORE = ("ready", "rough", "rip", "gauge", "cut", "sort")


def fill_evenings(who: Member) -> None:
    """A lantern for the fair, begun from wood that was cut before the book was; then the commission's timetable, whose
    wood lies on the rack, settled."""
    commission = Job.objects.filter(kind=Job.Kind.COMMISSION).earliest("pk")
    _begin_for_the_fair(who, commission.plan)
    making = making_of_job(commission.pk)
    _keep(who, making)


def _keep(who: Member, making: Making) -> KeptTimetable:
    wishes = {**usual_wishes(making), "aim": "soonest", "in_hand": True}
    return keep_timetable(who=who, making=making, search=ask_for_timetable(who=who, making=making, wishes=wishes))


def _begin_for_the_fair(who: Member, plan: Plan) -> None:
    facts = JobFacts("Lantern for the harbour fair", Job.Kind.SALE, "", timezone.localdate() + timedelta(days=45), plan)
    job = make_job(who=who, facts=facts)
    move_job(who=who, job=job, state=Job.State.UNDER_WAY, seen_version=job.edit_version)
    making, now = making_of_job(job.pk), timezone.now()
    kept = _keep(who, making)
    rows = []
    for step in _steps_of(kept):
        if step.split("/")[1] in _BEFORE:
            tick(who=who, making=making, kept=kept, step=step, done=True, at=now - timedelta(days=3))
        elif needs_dry_count(kept.form, step):
            rows.append(step)
    for n, step in enumerate(rows[:_ROWS_DONE], start=1):
        at = now - timedelta(minutes=8) if n == _ROWS_DONE else now - timedelta(days=1)
        _glue(who, making, kept, step, at)
    plan_the_rest(who=who, making=making, kept=kept)
    last = int(rows[-1].split("/")[2])
    write_row(who=who, job=job, kind=PartEntry.Kind.SPOILED, number=last, count=1, why="a knot tore out at the stop")


def _steps_of(kept: KeptTimetable) -> list[str]:
    """The steps that take hands, in the order of the cards."""
    seen = seen_of(kept.form, kept.first, kept.wishes)
    return [line.key for card in seen.cards for line in card.lines]


def _glue(who: Member, making: Making, kept: KeptTimetable, step: str, at: datetime) -> None:
    for each in (step + DRY, step):
        tick(who=who, making=making, kept=kept, step=each, done=True, at=at)
