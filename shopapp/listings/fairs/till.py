"""Selling at a fair: the page with what is there, what a phone sends, and what stands where the shop's machine cannot
be reached."""

from __future__ import annotations

import secrets

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, is_key, spend_key
from shopapp.common.away import worker_script
from shopapp.common.numbers import whole_number
from shopapp.listings.models import Fair
from shopapp.people.models import Member
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import readers, sending


@require_http_methods(["GET", "HEAD", "POST"])
@owner_required
def till(request: HttpRequest, fair_pk: int) -> HttpResponse:
    """GET shows what is there; POST is one sale, or one taken back, from a page without scripts."""
    found = get_object_or_404(Fair, pk=fair_pk)
    if request.method != "POST":
        return _page(request, found)
    key = request.POST.get("form_key", "")
    given = {**request.POST.dict(), "fair": str(found.pk), "at": ""}
    if given.get("kind") == "sale":
        given["sale"] = secrets.token_hex(16)
    try:
        sent = sending.read_sent(given, timezone.now())
        words = sending.write(who=request.user, sent=sent, spend=lambda: spend_key(key))
    except AlreadySent:
        messages.info(request, "That was written down already; here is how it stands.")
    except PlannerError as error:
        return _page(request, found, said=[{"message": str(error)}], status=422)
    else:
        messages.success(request, words)
    return redirect("listings:fair_till", found.pk)


def _page(request: HttpRequest, found: Fair, said: list | None = None, status: int = 200) -> HttpResponse:
    shop = workshop_of(request)
    offered = readers.offered(found)
    asked = request.POST.get("piece") or request.GET.get("piece", "")
    sold = readers.sold_there(found)
    for one in sold:
        one.plain_price = readers.typed(one.price, one.currency_exponent)
    context = {
        "fair": found,
        "offered": offered,
        "chosen": next((one for one in offered if str(one.piece.pk) == asked), None),
        "typed": request.POST.get("price", ""),
        "sold": sold,
        "last": next((one for one in sold if one.key), None),
        "clashes": readers.clashes(found),
        "said": said or [],
        "now": int(timezone.now().timestamp() * 1000),
        "zone": settings.TIME_ZONE,
        "exponent": shop.currency_exponent,
    }
    return render(request, "listings/fairs/till.html", context, status=status)


@require_POST
@owner_required
def send(request: HttpRequest) -> JsonResponse:
    """One thing a phone did, with its key: written, written before, or refused in words."""
    key = request.POST.get("form_key", "")
    if not is_key(key):
        return _refused("This came without a key of its own, so it could be written twice.")
    if request.POST.get("who") != str(request.user.pk):
        other = Member.objects.filter(pk=whole_number(request.POST.get("who", ""), 15) or 0).first()
        name = other.get_username() if other else "somebody else"
        return _refused(f"{name} did this; it is written when {name} is signed in.", code=409)
    try:
        sent = sending.read_sent(request.POST.dict(), timezone.now())
        words = sending.write(who=request.user, sent=sent, spend=lambda: spend_key(key))
    except AlreadySent:
        return JsonResponse({"state": "already", "words": "That was written down before."})
    except PlannerError as error:
        return _refused(str(error))
    return JsonResponse({"state": "written", "words": words})


def _refused(words: str, code: int = 422) -> JsonResponse:
    return JsonResponse({"state": "refused", "words": words}, status=code)


@require_GET
@owner_required
def away(request: HttpRequest) -> HttpResponse:
    """What a phone shows while the machine is away. Nothing of the shop stands on it: what is at the stall the phone
    reads from its own storage."""
    return render(request, "listings/fairs/away.html")


@require_GET
@owner_required
def worker(request: HttpRequest) -> HttpResponse:
    """The script that keeps that page on the phone; it has a say in no other address than those of fairs."""
    return worker_script(
        request,
        room="fair-1",
        away=reverse("listings:fair_away"),
        style="fair.css",
        script="fair/away.js",
        modules=("fair/stall.js", "fair/words.js"),
    )
