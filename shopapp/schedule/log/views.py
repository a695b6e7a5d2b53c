"""The shop's whole log, and what it has taught."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from shopapp.common.actions import AlreadySent, EditConflict, spend_key
from shopapp.common.numbers import whole_number
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import planning, readers
from .by_hand import forget_by_hand

A_PAGE = 50


@require_GET
def log(request: HttpRequest) -> HttpResponse:
    page = Paginator(readers.whole_log(), A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "lines": readers.log_lines(list(page.object_list), request.user)}
    return render(request, "schedule/log/log.html", context)


@require_GET
@owner_required
def times(request: HttpRequest) -> HttpResponse:
    workshop = workshop_of(request)
    lines = planning.own_times(workshop)
    context = {"lines": lines, "jobs": planning.learned(workshop).jobs, "version": workshop.edit_version}
    return render(request, "schedule/log/times.html", context)


@require_POST
@owner_required
def use_log(request: HttpRequest, operation: str) -> HttpResponse:
    """Go by the log again where a time was set by hand."""
    seen = request.POST.get("edit_version", "")
    try:
        told = forget_by_hand(
            who=request.user,
            operation=operation,
            seen_version=whole_number(seen, 9) or 0,
            spend=lambda: spend_key(request.POST.get("form_key", "")),
        )
    except AlreadySent:
        messages.info(request, "That was kept already.")
    except EditConflict:
        messages.info(request, "The settings were changed meanwhile. Here is how they stand.")
    else:
        messages.success(request, told)
    return redirect("schedule:times")
