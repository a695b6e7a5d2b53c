"""What would lower a price: of a kept plan by today's woods and rates, and of the board on the reckoning. Nothing is
written."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from planner.errors import PlannerError
from shopapp.people.permissions import owner_required
from shopapp.plans import planning as plans
from shopapp.plans import readers
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.views import asked_of, board_form, laid_asked, laid_text, version_asked
from shopapp.workshop.readers import workshop_of

from .readers import lowered


def of_a_plan(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    """A page of its own, or a part of the price's."""
    plan, workshop = cutting.plan, workshop_of(request)
    context: dict[str, object] = {"cutting": cutting, "home": cutting.to("price"), "no_way": plan.design.set_aside}
    version = plan.version
    # Its design was read with the plan.
    version.design = plan.design
    try:
        context["lowered"] = lowered(version, plans.board_of_plan(plan), workshop)
    except PlannerError as error:
        context["trouble"] = str(error)
    return _answer(request, context, "plans/price/_lower.html")


@require_GET
@owner_required
def live(request: HttpRequest, design_pk: int) -> HttpResponse:
    """Of the board the address asks for."""
    version, workshop = version_asked(design_pk, request.GET.get("drawing", "")), workshop_of(request)
    start = readers.first_board(workshop, version)
    form = board_form(request, version, workshop, readers.border_woods(), start)
    query = urlencode(asked_of(form, start, request.GET.get("drawing", ""), laid_text(request)))
    context: dict[str, object] = {"design": version.design, "version": version, "form": form, "query": query}
    if form.is_valid():
        try:
            swaps = laid_asked(request, version)
            context["lowered"] = lowered(version, {name: form.cleaned_data[name] for name in start}, workshop, swaps)
        except PlannerError as error:
            context["trouble"] = str(error)
    status = 422 if form.errors and not request.htmx else 200
    return _answer(request, context, "plans/price/_lower_brief.html", status)


def _answer(request: HttpRequest, context: dict, part: str, status: int = 200) -> HttpResponse:
    template = part if request.htmx else "plans/price/lower.html"
    response = render(request, template, context, status=status)
    response.headers["Vary"] = "HX-Request"
    return response
