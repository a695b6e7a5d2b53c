"""A job as the pages of its timetable are told of it."""

from __future__ import annotations

from django.urls import reverse

from shopapp.plans.models import KeptTimetable
from shopapp.plans.timetable.wanted import Making, Other

from .actions import CLOSED
from .models import Job
from .planned import planned_job
from .readers import closed_words

MOST_OTHERS = 20
# Timetables kept since a job's own; among them may be one it is made by together with others.
MOST_LATER = 60


def making_of_job(pk: int) -> Making:
    job = planned_job(pk, "when it is ready is known once it has one.")
    return Making(
        label=job.label,
        key=job.key,
        plan=job.plan,
        home=job.get_absolute_url(),
        home_words=job.label,
        to=lambda name, *args: reverse(f"jobs:{name}", args=[job.pk, *args]),
        due=job.due,
        before=keys_before(job),
        closed=closed_words(job),
        home_for_all=True,
        others=lambda: _others(job),
    )


def keys_before(job: Job) -> tuple[str, ...]:
    """What was kept for the bare plan before counts for the first job made of it. One query."""
    older = Job.objects.filter(plan=job.plan, pk__lt=job.pk).exists()
    return () if older else (f"plan {job.plan_id}",)


def timetable_of(job: Job) -> tuple[KeptTimetable | None, int]:
    """The timetable that counts for a job, and the number its board has there: its own newest one, or one that was kept
    since for others with which it is made. Two queries, and one where it is made with others."""
    keys = (job.key, *keys_before(job))
    own = KeptTimetable.objects.filter(key__in=keys).first()
    since = KeptTimetable.objects.exclude(key__in=keys).filter(pk__gt=own.pk if own else 0)
    newest: set[str] = set()
    for pk, key, boards in since.values_list("pk", "key", "boards")[:MOST_LATER]:
        if key not in newest:
            newest.add(key)
            number = next((n for n, board in enumerate(boards, start=1) if board["key"] == job.key), 0)
            if number > 1:
                return KeptTimetable.objects.get(pk=pk), number
    return own, 1


def _others(job: Job) -> list[Other]:
    """Other jobs in hand that have a plan. One query."""
    rows = Job.objects.exclude(state__in=CLOSED).exclude(pk=job.pk).filter(plan__isnull=False)[:MOST_OTHERS]
    return [Other(row.key, row.label, row.plan_id) for row in rows]
