"""All jobs on one page: as they stand, and judged together."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from . import readers
from .forms import KINDS, STATES, SeasonForm, chosen


@require_GET
def jobs(request: HttpRequest) -> HttpResponse:
    """The list at once; what the season makes of it comes after it, or at an address of its own."""
    return render(request, "jobs/jobs.html", _listed(request))


@require_GET
def season(request: HttpRequest) -> HttpResponse:
    """The same list with every job judged, and how many boards fit before a day."""
    context = _listed(request)
    seen = readers.season_of(timezone.localtime())
    form = SeasonForm(request.GET, seen.asked.first, seen.by)
    fits = []
    if form.is_valid() and form.cleaned_data["by"] and seen.judged.finishes:
        fits = seen.fits(form.cleaned_data["by"])
    context |= {
        "season": seen,
        "form": form,
        "fits": fits,
        "lines": [(line, seen.told.get(line.job.pk)) for line, _ in context["lines"]],
    }
    # Asked for by the list that is shown already, it is put in its place.
    template = "jobs/season/_all.html" if request.htmx else "jobs/jobs.html"
    return render(request, template, context, status=422 if form.errors and not request.htmx else 200)


def _listed(request: HttpRequest) -> dict[str, object]:
    kind, state = chosen(request.GET)
    lines = readers.lines(kind, state, timezone.localdate())
    by = request.GET.get("by", "")[:20]
    return {
        "kind": kind,
        "state": state,
        "kinds": [(key, words, _query(kind=key, state=state, by=by)) for key, words in KINDS.items()],
        "states": [(key, words, _query(kind=kind, state=key, by=by)) for key, (words, _) in STATES.items()],
        "query": _query(kind=kind, state=state, by=by),
        "lines": [(line, None) for line in lines],
        "judges": state != "closed",
    }


def _query(**asked: str) -> str:
    return urlencode({key: value for key, value in asked.items() if value})
