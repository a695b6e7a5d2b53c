"""A job as the pages of its cut plan are told of it, and why nothing more is cut for it."""

from __future__ import annotations

from django.urls import reverse

from shopapp.plans.cutting.wanted import Cutting

from .agreeing.readers import unlike_of
from .models import Job
from .over import over_word
from .planned import planned_job


def cutting_of_job(pk: int) -> Cutting:
    return cutting_of(planned_job(pk, "what is cut for it is known once it has one."))


def cutting_of(job: Job) -> Cutting:
    """The job has a plan."""
    return Cutting(
        label=job.label,
        key=job.key,
        plan=job.plan,
        home=job.get_absolute_url(),
        home_words=job.label,
        to=lambda name, *args: reverse(f"jobs:{name}", args=[job.pk, *args]),
        closed=closed_words(job),
        refuses=lambda: closed_words(Job.objects.select_for_update().get(pk=job.pk)),
        home_for_all=True,
        over=over_word(job),
        unlike=lambda: unlike_of(job),
    )


def closed_words(job: Job) -> str:
    """Why no more wood is given to a job; empty while it is."""
    if job.state == Job.State.CALLED_OFF:
        return f"{job.label} was called off: wood comes back from it and none goes to it."
    if job.state == Job.State.HANDED_OVER:
        return f"{job.label} was handed over: wood comes back from it and none goes to it."
    return ""
