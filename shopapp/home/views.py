"""The first page, and the health of the machine."""

from __future__ import annotations

from datetime import timedelta

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from shopapp.designs.readers import designs_in_view
from shopapp.listings.enquiries import readers as enquiries
from shopapp.listings.pieces.waiting import what_waits
from shopapp.people.permissions import owner_required
from shopapp.plans.readers import kept_plans
from shopapp.quotes.answering import readers as answering

from . import readers


@require_GET
@owner_required
def start(request: HttpRequest) -> HttpResponse:
    context = {
        "hour": readers.first_hour(),
        "cards": designs_in_view()[:6],
        "plans": kept_plans()[:5],
        "accepted": answering.accepted_lately(timezone.now() - timedelta(days=14)),
        "asked": answering.questions_waiting(),
        "enquiries": enquiries.waiting(),
        "waits": what_waits(timezone.localdate()),
    }
    return render(request, "home/start.html", context)


@require_GET
@owner_required
def health(request: HttpRequest) -> HttpResponse:
    return render(request, "home/health.html", {"facts": readers.health()})


@require_GET
@owner_required
def own_shop(request: HttpRequest) -> HttpResponse:
    """How to leave the demo and start one's own shop."""
    return render(request, "home/own_shop.html")
