"""The page of a price; asked for by whoever wants a board made. It is read and never writes."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.readers import shop_as_kept
from shopapp.workshop.readers import workshop_of

from .forms import AskForm
from .readers import Priced


def price(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    """At the price that was kept, or at the one the address names; to what asks by itself only what follows from it."""
    workshop = workshop_of(request)
    shop = shop_as_kept(workshop, cutting.plan.record)
    form = AskForm.of(request.GET, workshop=workshop, shop=shop)
    good = form.is_valid()
    named = form.cleaned_data.get("ask") if good else None
    discount = form.cleaned_data.get("friends") if good else None
    priced = Priced(cutting, workshop, named, workshop.friends if discount is None else discount)
    context = {
        "cutting": cutting,
        "form": form,
        "priced": priced,
        "drawn": priced.drawn(),
        "shop": priced.shop,
        "discount": workshop.friends if discount is None else discount,
        "here": cutting.to("price"),
        "to_lower": cutting.to("price_lower"),
    }
    template = "plans/price/_answer.html" if request.htmx else "plans/price/price.html"
    # A part of a page with errors is still the answer asked for, so htmx gets 200 and shows it.
    response = render(request, template, context, status=422 if form.errors and not request.htmx else 200)
    response.headers["Vary"] = "HX-Request"
    return response
