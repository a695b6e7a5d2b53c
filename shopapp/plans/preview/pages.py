"""The page of a board in real grain, and the picture itself; asked for by whoever wants a board made. Nothing is
written."""

from __future__ import annotations

from collections.abc import Mapping

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import get_conditional_response
from django.utils.text import slugify
from django.views.decorators.http import require_GET

from planner.errors import PlannerError
from shopapp.people.permissions import owner_required
from shopapp.plans import planning as plans
from shopapp.plans import readers as reckoned
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.otherwoods import drawing_in
from shopapp.plans.views import board_form, laid_asked, version_asked
from shopapp.workshop.readers import workshop_of

from . import planning
from .readers import DISTANCES, SHOWN, Seen, grain_at

# What a picture to be saved is as wide as, in pixels.
SAVED = (800, 1600, 3200, 6000)


def preview(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    look = planning.look_asked(request.GET)
    seen = Seen(cutting.plan.record, cutting.plan.title, workshop_of(request).unit, look)
    asked = {"finish": look.finish, "from": f"{look.metres:g}" if look.metres else ""}
    context = {
        "cutting": cutting,
        "seen": seen,
        "grain": grain_at(cutting.to("preview_png"), asked),
        "finishes": planning.FINISHES,
        "distances": DISTANCES,
        "asked": asked,
        "saved": SAVED,
        "here": cutting.to("preview"),
    }
    template = "plans/preview/_seen.html" if request.htmx else "plans/preview/preview.html"
    response = render(request, template, context)
    response.headers["Vary"] = "HX-Request"
    return response


def png(request: HttpRequest, cutting: Cutting) -> HttpResponse:
    return _picture(request, cutting.plan.record, slugify(cutting.label) or "board")


@require_GET
@owner_required
def live_png(request: HttpRequest, design_pk: int) -> HttpResponse:
    """The board that an address of the reckoning asks for."""
    version = version_asked(design_pk, request.GET.get("drawing", ""))
    workshop = workshop_of(request)
    start = reckoned.first_board(workshop, version)
    form = board_form(request, version, workshop, reckoned.border_woods(), start)
    if not form.is_valid():
        raise Http404("What the board is asked to be has to be mended first.")
    try:
        drawn = drawing_in(version, laid_asked(request, version))
        record = plans.reckon_board(drawn, {name: form.cleaned_data[name] for name in start}, workshop)[1]
    except PlannerError as error:
        raise Http404(str(error)) from error
    return _picture(request, record, slugify(version.design.name) or "board")


def _picture(request: HttpRequest, record: Mapping, name: str) -> HttpResponse:
    """Drawn while it is waited for: it takes a fraction of a second, and a browser keeps it until anything it is drawn
    from changes."""
    look, tones = planning.look_asked(request.GET), planning.tones_of_record(record)
    try:
        width = planning.width_asked(request.GET.get("width", ""), SHOWN[1])
        etag = f'"{planning.fingerprint_of(record, tones, look, width)}"'
        known = get_conditional_response(request, etag)
        if known is not None:
            return known
        made = planning.picture_of(record, tones, look, width)
    except PlannerError as error:
        raise Http404(str(error)) from error
    response = HttpResponse(made.png, content_type="image/png")
    kind = "attachment" if "save" in request.GET else "inline"
    response.headers["Content-Disposition"] = f'{kind}; filename="{name}-{look.finish}-{made.width}.png"'
    response.headers["Cache-Control"] = "private, no-cache"
    response.headers["ETag"] = etag
    return response
