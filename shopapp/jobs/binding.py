"""A job as the pages of its shop book are told of it."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404
from django.urls import reverse

from shopapp.plans.book.wanted import Binding

from .making import keys_before
from .models import Job


def binding_of_job(pk: int) -> Binding:
    job = get_object_or_404(Job.objects.select_related("plan"), pk=pk)
    if job.plan is None:
        raise Http404("This job has no kept plan yet; its shop book is made from one.")
    return Binding(
        label=job.label,
        key=job.key,
        plan=job.plan,
        home=job.get_absolute_url(),
        home_words=job.label,
        to=lambda name, *args: reverse(f"jobs:{name}", args=[job.pk, *args]),
        before=keys_before(job),
        home_for_all=True,
    )
