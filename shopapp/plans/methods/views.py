"""How a board could be built: a page of its own, and a few lines on the reckoning. Nothing is written."""

from __future__ import annotations

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.people.permissions import owner_required
from shopapp.plans import readers as plans
from shopapp.plans.otherwoods import drawing_in
from shopapp.plans.views import asked_of, board_form, laid_asked, laid_text, version_asked
from shopapp.workshop.readers import workshop_of

from . import planning
from .readers import Compared


@require_GET
@owner_required
def methods(request: HttpRequest, design_pk: int) -> HttpResponse:
    """Every way of building the board the address asks for; to the reckoning itself, only what it recommends."""
    drawing = request.GET.get("drawing", "")
    version = version_asked(design_pk, drawing)
    workshop = workshop_of(request)
    start = plans.first_board(workshop, version)
    form = board_form(request, version, workshop, plans.border_woods(), start)
    reckoning = reverse("plans:reckoning", args=[design_pk])
    asked = asked_of(form, start, drawing, laid_text(request))
    compared = None
    if form.is_valid():
        board = {name: form.cleaned_data[name] for name in start}

        def typed(name: str, value: str) -> str:
            field = form.fields[name]
            return field.prepare_value(Length.of_mm(value)) if name.endswith("border") else value

        try:
            drawn = drawing_in(version, laid_asked(request, version))
            found = planning.compared(drawn, board, workshop, briefly=bool(request.htmx))
            chosen = f"{board['method']}-{board['along']}"
            compared = Compared(found, chosen, reckoning=reckoning, asked=asked, typed=typed)
        except PlannerError as error:
            form.add_error(None, str(error))
    context = {
        "design": version.design,
        "version": version,
        "form": form,
        "compared": compared,
        "query": urlencode(asked),
        "most_boards": planning.MOST_COPIES,
    }
    template = "plans/methods/_answer.html" if request.htmx else "plans/methods/methods.html"
    # A part of a page with nothing to tell is still the answer asked for.
    response = render(request, template, context, status=422 if form.errors and not request.htmx else 200)
    response.headers["Vary"] = "HX-Request"
    return response
