"""The page of spoiled parts and of what is cut again; whoever stands at the bench writes here."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from planner.errors import PlannerError
from planner.measures import format_length
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.numbers import whole_number
from shopapp.jobs.actions import CLOSED
from shopapp.jobs.gauged.readers import address_of, gauged_of
from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.planned import planned_job
from shopapp.workshop.readers import workshop_of

from . import actions, readers
from .forms import PartsForm
from .planning import alike_in
from .rows import ROW, rows_in, write_row

NO_PLAN = "what is cut for it is known once it has one."


@require_http_methods(["GET", "POST"])
def spoiled(request: HttpRequest, pk: int) -> HttpResponse:
    job = planned_job(pk, NO_PLAN)
    shop = workshop_of(request)
    gauged = gauged_of(job, shop)
    parts = readers.choices_of(job, gauged, lambda length: format_length(length, shop.unit))
    rows = [row.choice for row in rows_in(job.plan)]
    posted = request.method == "POST"
    form = PartsForm(request.POST if posted else None, parts=parts, rows=rows, initial=_meant(request, job, rows))
    if posted and form.is_valid():
        try:
            written = _write(request, job, form)
        except AlreadySent:
            messages.info(request, "That was written down already; it is counted once.")
            return redirect("jobs:spoiled", job.pk)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
        else:
            messages.success(request, written)
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


def _meant(request: HttpRequest, job: Job, rows: list[tuple[str, str]]) -> dict[str, str | int]:
    """The piece or the row a page led here from."""
    number = whole_number(request.GET.get("part", ""), 6)
    if (alike := next((one for one in alike_in(job.plan) if number in one.parts), None)) is not None:
        return {"part": str(alike.parts[0]), "count": 1}
    meant = f"{ROW}{request.GET.get('row', '')}"
    return {"part": meant, "count": 1} if meant in dict(rows) else {}


def _write(request: HttpRequest, job: Job, form: PartsForm) -> str:
    typed = form.cleaned_data
    given = {"who": request.user, "job": job, "spend": form.spend}
    given |= {name: typed[name] for name in ("kind", "count", "why")}
    kind, _, number = typed["part"].rpartition(" ")
    if kind:
        return str(write_row(number=int(number), **given))
    return f"{actions.write_parts(part=int(number), **given)}."


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
