"""Planned against actual, and what is told before a job is called finished."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from shopapp.jobs.models import Job
from shopapp.workshop.readers import workshop_of

from . import readers
from .costs import wood_names
from .reserve import reserve_of


@require_GET
def done(request: HttpRequest, pk: int) -> HttpResponse:
    job = get_object_or_404(Job.objects.select_related("plan"), pk=pk)
    shop = workshop_of(request)
    found = readers.done_page(job, shop, request.user)
    names = wood_names(found.woods)
    context = {
        "job": job,
        "done": found,
        "made_of": found.made_of,
        "reserve": reserve_of(shop) if request.user.is_owner and job.settled == Job.Settled.RESERVE else None,
        "may_finish": job.state == Job.State.UNDER_WAY,
        "cost_lines": [(names.get(line.name, line.name), line) for line in found.costs.lines] if found.costs else [],
    }
    return render(request, "jobs/done/done.html", context)
