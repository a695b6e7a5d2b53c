"""The pages of the working drawings; each is asked for by whoever wants a board made. They are read and never write."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render

from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import workshop_of

from .readers import MONEY, Drawings, file_name
from .wanted import Drawn

FACE_DOWN = "down"


def drawings(request: HttpRequest, drawn: Drawn) -> HttpResponse:
    """All of them but the set-ups, which have a page for each kind; money is the owner's alone to see."""
    found = Drawings(drawn, workshop_of(request))
    face_down = request.GET.get("face") == FACE_DOWN
    context = {
        **_of(drawn, found),
        "face_down": face_down,
        "laid": found.laid(face_down=face_down),
        "parts": found.parts(),
        "seams": found.seams(),
        "timetable": found.timetable(),
        "money": found.money() if request.user.is_owner else None,
        "to_cut": drawn.to("cut"),
        "to_timetable": drawn.to("timetable"),
        "to_marking": drawn.to("cut_sheet", found.sheet.pk) if found.sheet else "",
    }
    return render(request, "plans/drawings/drawings.html", context)


def set_ups(request: HttpRequest, drawn: Drawn) -> HttpResponse:
    """The set-ups of one kind: the first that there is, unless another is asked for."""
    found = Drawings(drawn, workshop_of(request))
    context = _of(drawn, found)
    asked = request.GET.get("kind")
    kind = next((one for one in context["kinds"] if one.key == asked), next(iter(context["kinds"]), None))
    context |= {
        "kind": kind,
        "set_ups": list(found.set_ups(kind)) if kind else [],
        "trouble": found.trouble if kind and kind.key == "part" else "",
        "to_cut": drawn.to("cut"),
        "to_drawings": drawn.to("drawings"),
    }
    return render(request, "plans/drawings/set_ups.html", context)


def svg(request: HttpRequest, drawn: Drawn, drawing: str) -> HttpResponse:
    """One drawing, for paper, to be saved."""
    if drawing == MONEY:
        owner_only(request.user)
    found = Drawings(drawn, workshop_of(request)).file(drawing)
    if found is None:
        raise Http404("There is no such drawing, or what it is drawn from is not kept yet.")
    response = HttpResponse(found, content_type="image/svg+xml; charset=utf-8")
    response.headers["Content-Disposition"] = f'attachment; filename="{file_name(drawn.label, drawing)}"'
    response.headers["Cache-Control"] = "private, no-cache"
    return response


def _of(drawn: Drawn, found: Drawings) -> dict[str, object]:
    return {
        "drawn": drawn,
        "cutting": drawn.cutting,
        "kinds": found.kinds(),
        "sheet": found.sheet,
        "kept": found.kept,
        "to_set_ups": drawn.to("drawings_set_ups"),
        # Files are named beside the page that shows them.
        "files": drawn.to("drawings"),
    }
