"""The log of the time a kept plan took: opened here at the plan's own addresses."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from shopapp.plans.models import Plan
from shopapp.schedule.log import pages
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


def _timed(pk: int) -> Timed:
    return timed_of(get_object_or_404(Plan.objects.prefetch_related("jobs"), pk=pk))


@require_http_methods(["GET", "POST"])
def time(request: HttpRequest, pk: int) -> HttpResponse:
    return pages.time(request, _timed(pk))


@require_http_methods(["GET", "POST"])
def time_entry(request: HttpRequest, pk: int, entry_pk: int) -> HttpResponse:
    return pages.entry(request, _timed(pk), entry_pk)


@require_POST
def time_back(request: HttpRequest, pk: int, entry_pk: int) -> HttpResponse:
    return pages.back(request, _timed(pk), entry_pk)
