"""The page of spoiled parts and of what is cut again; whoever stands at the bench writes here."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from planner.errors import PlannerError
from planner.measures import format_length
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.jobs.actions import CLOSED
from shopapp.jobs.gauged.readers import address_of, gauged_of
from shopapp.jobs.models import PartEntry
from shopapp.jobs.planned import planned_job
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import PartsForm

NO_PLAN = "what is cut for it is known once it has one."


@require_http_methods(["GET", "POST"])
def spoiled(request: HttpRequest, pk: int) -> HttpResponse:
    job = planned_job(pk, NO_PLAN)
    shop = workshop_of(request)
    gauged = gauged_of(job, shop)
    parts = readers.choices_of(job, gauged, lambda length: format_length(length, shop.unit))
    form = PartsForm(request.POST if request.method == "POST" else None, parts=parts)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            entry = actions.write_parts(
                who=request.user,
                job=job,
                kind=typed["kind"],
                part=int(typed["part"]),
                count=typed["count"],
                why=typed["why"],
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That was written down already; it is counted once.")
            return redirect("jobs:spoiled", job.pk)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, f"{entry}.")
            return redirect("jobs:spoiled", job.pk)
    recut = readers.recut_of(job, shop, request.user, money=request.user.is_owner, gauged=gauged)
    context = {
        "job": job,
        "form": form,
        "recut": readers.with_boards(recut, job, shop),
        "measured_at": address_of(job, gauged),
        "open": job.state not in CLOSED,
    }
    return render(request, "jobs/spoiled/spoiled.html", context, status=422 if form.errors else 200)


@require_POST
def spoiled_back(request: HttpRequest, pk: int, part_pk: int) -> HttpResponse:
    job = planned_job(pk, NO_PLAN)
    found = get_object_or_404(PartEntry, pk=part_pk, job=job)
    try:
        actions.take_back(
            who=request.user, job=job, entry=found, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        messages.info(request, "That was done already; here is how it stands.")
    except PlannerError as error:
        messages.error(request, str(error))
    else:
        messages.success(request, f"Taken back: {found}.")
    return redirect("jobs:spoiled", job.pk)
