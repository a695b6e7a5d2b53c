"""Planned against actual, and what is told before a job is called finished."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from shopapp.jobs.models import Job
from shopapp.workshop.readers import workshop_of

from . import readers
from .costs import wood_names


@require_GET
def done(request: HttpRequest, pk: int) -> HttpResponse:
    job = get_object_or_404(Job.objects.select_related("plan"), pk=pk)
    found = readers.done_page(job, workshop_of(request), request.user)
    names = wood_names(found.woods)
    context = {
        "job": job,
        "done": found,
        "made_of": found.made_of,
        "may_finish": job.state == Job.State.UNDER_WAY,
        "cost_lines": [(names.get(line.name, line.name), line) for line in found.costs.lines] if found.costs else [],
    }
    return render(request, "jobs/done/done.html", context)
