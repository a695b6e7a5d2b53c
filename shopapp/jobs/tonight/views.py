"""Tonight at the bench: the page, what it sends, and what stands where the shop's machine cannot be reached."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, is_key, spend_key, was_spent
from shopapp.common.away import worker_script
from shopapp.common.numbers import whole_number
from shopapp.people.models import Member
from shopapp.workshop.readers import workshop_of

from . import readers, running, sending

# What a button of a page without scripts begins with, and the kind of thing it sends.
_KIND_OF = {"done": "tick", "not": "tick", "down": "face", "up": "face", "stop": "stop", "drop": "drop"}


@require_http_methods(["GET", "HEAD", "POST"])
def tonight(request: HttpRequest) -> HttpResponse:
    """GET shows what is to be done; POST is one button of it, from a page without scripts."""
    if request.method != "POST":
        return _page(request)
    act, _, rest = request.POST.get("do", "").partition(":")
    job, _, rest = rest.partition(":")
    timetable, _, step = rest.partition(":")
    given = {"kind": _KIND_OF.get(act, ""), "job": job, "timetable": timetable, "step": step, "token": step}
    try:
        words = _write(request, {**given, "done": "1" if act == "done" else "0", "down": "1" if act == "down" else "0"})
    except AlreadySent:
        messages.info(request, "That was done already; here is how it stands.")
    except PlannerError as error:
        return _page(request, said=[{"message": str(error)}], status=422)
    else:
        messages.success(request, words)
    return redirect("jobs:tonight")


def _page(request: HttpRequest, said: list | None = None, status: int = 200) -> HttpResponse:
    shop = workshop_of(request)
    found = readers.tonight_of(timezone.localtime(), shop)
    now = found.next_of(request.GET.get("step", ""))
    times = running.all_running()
    mine = next((one for one in times if one.entry.who_id == request.user.pk), None)
    context = {
        "tonight": found,
        "running": mine,
        "running_minutes": mine.minutes(found.now) if mine else 0,
        "others_at": [one for one in times if one.entry.who_id != request.user.pk],
        "now": now,
        "said": said or [],
        "zone": settings.TIME_ZONE,
    }
    return render(request, "jobs/tonight/tonight.html", context, status=status)


def _write(request: HttpRequest, given: dict) -> str:
    key = request.POST.get("form_key", "")
    if was_spent(key):
        # Whatever became of the job since, it is not said to be refused.
        raise AlreadySent
    sent = sending.read_sent(given, timezone.now())
    return sending.write(who=request.user, sent=sent, spend=lambda: spend_key(key))


@require_POST
def send(request: HttpRequest) -> JsonResponse:
    """One thing a device did, with its key: written, written before, or refused in words."""
    if not is_key(request.POST.get("form_key", "")):
        return _refused("This came without a key of its own, so it could be written twice.")
    if request.POST.get("who") != str(request.user.pk) and not was_spent(request.POST["form_key"]):
        other = Member.objects.filter(pk=_small(request.POST.get("who", ""))).first()
        name = other.get_username() if other else "somebody else"
        return _refused(f"{name} did this; it is written when {name} is signed in.", code=409)
    try:
        return JsonResponse({"state": "written", "words": _write(request, request.POST.dict())})
    except AlreadySent:
        return JsonResponse({"state": "already", "words": "That was written down before."})
    except PlannerError as error:
        return _refused(str(error))


def _small(text: str) -> int:
    return whole_number(text, 15) or 0


def _refused(words: str, code: int = 422) -> JsonResponse:
    return JsonResponse({"state": "refused", "words": words}, status=code)


@require_GET
def away(request: HttpRequest) -> HttpResponse:
    """What a device shows while the machine is away. Nothing of the shop stands on it, for the device keeps it."""
    return render(request, "jobs/tonight/away.html")


@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """The script that keeps that page on the device; it has a say in no other address than tonight's."""
    modules = ("tonight/timers.js", "tonight/words.js")
    away = reverse("jobs:tonight_away")
    return worker_script(
        request, room="tonight-1", away=away, style="tonight.css", script="tonight/away.js", modules=modules
    )
