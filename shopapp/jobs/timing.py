"""A job as the log of the time it took is told of it."""

from __future__ import annotations

from django.shortcuts import get_object_or_404
from django.urls import reverse

from shopapp.schedule.log.timed import Timed

from .models import Job


def timed_of(job: Job) -> Timed:
    """The job as the log is told of it; without a plan it does not say what there is to be done."""
    remark = ""
    if job.plan is None:
        remark = "It has no kept plan, so only what is counted here is learned from."
    return Timed(
        label=job.label,
        key=job.key,
        home=job.get_absolute_url(),
        home_words=job.label,
        to=lambda name, *args: reverse(f"jobs:{name}", args=[job.pk, *args]),
        record=job.plan.record if job.plan else None,
        home_for_all=True,
        remark=remark,
    )


def timed_of_job(pk: int) -> Timed:
    return timed_of(get_object_or_404(Job.objects.select_related("plan"), pk=pk))
