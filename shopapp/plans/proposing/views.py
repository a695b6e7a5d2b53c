"""Boards proposed for a design, from wishes in the address. Nothing is written."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from planner.errors import PlannerError
from shopapp.people.permissions import owner_required
from shopapp.plans import readers as plans
from shopapp.plans.views import version_asked
from shopapp.workshop.readers import workshop_of

from .forms import WishesForm
from .readers import proposed


@require_GET
@owner_required
def proposals(request: HttpRequest, design_pk: int) -> HttpResponse:
    version, workshop = version_asked(design_pk, request.GET.get("drawing", "")), workshop_of(request)
    today = timezone.localdate()
    start = plans.first_board(workshop, version)
    given = {"unit": workshop.unit, "woods": plans.border_woods(), "today": today}
    asked = set(request.GET) - {"drawing"}
    initial = {name: start[name] for name in ("use", "border_wood", "quantity")}
    form = WishesForm({**initial, **request.GET.dict()}, **given) if asked else WishesForm(initial=initial, **given)
    context: dict[str, object] = {"design": version.design, "version": version, "form": form}
    if asked and form.is_valid():
        try:
            context["found"] = proposed(version, form.cleaned_data, workshop, today)
        except PlannerError as error:
            form.add_error(error.field if error.field in form.fields else None, str(error))
    return render(request, "plans/proposing/proposals.html", context, status=422 if form.errors else 200)
