"""A job as the pages of its cut plan are told of it."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404

from shopapp.plans.cutting.wanted import Cutting

from .models import Job
from .readers import cutting_of


def cutting_of_job(pk: int) -> Cutting:
    job = get_object_or_404(Job.objects.select_related("plan"), pk=pk)
    if job.plan is None:
        raise Http404("This job has no kept plan yet; what is cut for it is known once it has one.")
    return cutting_of(job)
