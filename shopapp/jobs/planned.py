"""A job that has a kept plan: what is cut, made, drawn and bound for it follows from that."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404

from .models import Job


def planned_job(pk: int, none_yet: str) -> Job:
    """One query. Raises Http404 where there is no such job, and with ``none_yet`` where it has no plan."""
    job = get_object_or_404(Job.objects.select_related("plan"), pk=pk)
    if job.plan is None:
        raise Http404(f"This job has no kept plan yet; {none_yet}")
    return job
