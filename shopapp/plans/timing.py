"""A kept plan as the log of the time it took is told of it."""

from __future__ import annotations

from django.shortcuts import get_object_or_404
from django.urls import reverse

from shopapp.plans.models import Plan
from shopapp.schedule.log.timed import Timed


def timed_of(plan: Plan) -> Timed:
    """The plan as the log is told of it. What is made of it as a job has a log of its own."""
    return Timed(
        label=plan.title,
        key=f"plan {plan.pk}",
        home=plan.get_absolute_url(),
        home_words=plan.title,
        to=lambda name, *args: reverse(f"plans:{name}", args=[plan.pk, *args]),
        record=plan.record,
        elsewhere=[(job.label, job.get_absolute_url()) for job in plan.jobs.all()],
    )


def timed_of_plan(pk: int) -> Timed:
    return timed_of(get_object_or_404(Plan.objects.prefetch_related("jobs"), pk=pk))
