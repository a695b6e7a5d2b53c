"""The buying list, as a page for the yard; what it is for stands in its address."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import readers
from .forms import BuyingForm


@require_GET
@owner_required
def buying(request: HttpRequest) -> HttpResponse:
    shop = workshop_of(request)
    form = BuyingForm(request.GET)
    offered = readers.choices(shop)
    asked = set(request.GET.getlist("for")[: readers.MOST_WANTS * 2])
    # Opened without a word it is for every job in hand; sent with nothing ticked it is for nothing.
    if "asked" not in request.GET and not asked:
        asked = {one.tick for one in offered if one.tick.startswith("job.")}
    ticked = [one for one in offered if one.tick in asked]
    context = {"form": form, "choices": offered, "asked": {one.tick for one in ticked}, "ticked": ticked}
    if form.is_valid() and ticked:
        context["found"] = readers.list_of(ticked, shop, form.cleaned_data["waste"])
        context["offcuts"], context["designs"] = readers.what_offcuts_become(ticked, shop)
    return render(request, "jobs/buying/buying.html", context, status=422 if form.errors else 200)
