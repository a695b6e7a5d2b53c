"""A job as the pages of its timetable are told of it."""

from __future__ import annotations

from django.urls import reverse

from shopapp.plans.timetable.wanted import Making, Other

from .agreeing.readers import unlike_of
from .cutting import closed_words
from .evenings import keys_before
from .models import Job
from .over import CLOSED
from .planned import planned_job

MOST_OTHERS = 20


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
        by_hand=job.by_hand,
        closed=closed_words(job),
        home_for_all=True,
        others=lambda: _others(job),
        unlike=lambda: unlike_of(job),
    )


def _others(job: Job) -> list[Other]:
    """Other jobs in hand that have a plan. One query."""
    rows = Job.objects.exclude(state__in=CLOSED).exclude(pk=job.pk).filter(plan__isnull=False)[:MOST_OTHERS]
    return [Other(row.key, row.label, row.plan_id, row.by_hand) for row in rows]
