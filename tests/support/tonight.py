"""Evenings at the bench: jobs that are begun, whose rows are to be glued today."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.utils import timezone

from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable, Plan
from shopapp.plans.timetable import planning
from shopapp.plans.timetable.actions import plan_the_rest, tick
from shopapp.plans.timetable.wanted import Making
from shopapp.schedule.actions import add_sessions
from tests.support import work
from tests.support.evenings import kept as kept_evenings

# What comes before any glue.
_BEFORE = ("ready", "rough", "rip", "gauge", "cut", "sort")


def all_day(owner: Member) -> None:
    """Somebody is in the shop at almost every minute, so that something is due whenever a test runs."""
    add_sessions(who=owner, weekdays=range(7), values={"starts": 0, "ends": 24 * 60 - 5})


def begun(owner: Member, plan: Plan, label: str = "Flag", **wishes: object) -> tuple[Job, KeptTimetable]:
    """A job that is begun, its timetable kept; its wood is here."""
    job = work.move(owner, work.job(owner, plan, label=label), "under way")
    return job, kept_evenings(owner, making_of_job(job.pk), in_hand=True, **wishes)


def rows_due(owner: Member, plan: Plan, label: str = "Flag") -> tuple[Making, KeptTimetable]:
    """A job whose pieces are all cut and sorted since last week, and the rest planned from now."""
    job, kept = begun(owner, plan, label)
    making = making_of_job(job.pk)
    last_week = timezone.now() - timedelta(days=7)
    for step in planning.words_of(kept.form):
        if step.split("/")[1] in _BEFORE:
            tick(who=owner, making=making, kept=kept, step=step, done=True, at=last_week)
    return making, plan_the_rest(who=owner, making=making, kept=kept)


def first_row(kept: KeptTimetable) -> str:
    """The key of the row that is glued first."""
    opened = planning.Opened.of(kept.form)
    starts = {
        step.key: at for step, at in zip(opened.steps, opened.timetable.starts, strict=True) if step.kind == "row"
    }
    return min(starts, key=lambda key: (starts[key], key))


def glue_row(owner: Member, making: Making, kept: KeptTimetable, step: str, at: datetime | None = None) -> None:
    """A row counted dry and clamped."""
    for each in (f"{step}/dry", step):
        tick(who=owner, making=making, kept=kept, step=each, done=True, at=at)


def newest(making: Making) -> KeptTimetable:
    """The timetable that counts."""
    return KeptTimetable.objects.filter(key__in=making.keys).latest("pk")
