"""What the shorts could become, as a page; the length of a short stands in its address."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shopapp.workshop.readers import workshop_of

from . import readers
from .forms import ShortsForm


@require_GET
def shorts(request: HttpRequest) -> HttpResponse:
    shop = workshop_of(request)
    form = ShortsForm(request.GET, shop=shop)
    found, longest = None, None
    if form.is_valid():
        longest = None if form.cleaned_data["every"] else form.cleaned_data["longest"]
        found = readers.what_shorts_become(longest, shop)
    context = {"form": form, "found": found, "longest": longest}
    return render(request, "plans/shorts/shorts.html", context, status=422 if form.errors else 200)
