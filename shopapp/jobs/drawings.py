"""A job as the pages of its working drawings are told of it."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404

from shopapp.plans.drawings.wanted import Drawn

from .making import keys_before
from .models import Job
from .readers import cutting_of


def drawn_of_job(pk: int) -> Drawn:
    job = get_object_or_404(Job.objects.select_related("plan"), pk=pk)
    if job.plan is None:
        raise Http404("This job has no kept plan yet; there is nothing to draw before it has one.")
    return Drawn(cutting_of(job), keys_before(job))
