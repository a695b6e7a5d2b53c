"""The grid laid over its picture, corrected and kept. Every correction is a GET that writes nothing: its address
says all of them, so that the page can be loaded again, and a step back in the browser is a step back here."""

from __future__ import annotations

from dataclasses import replace

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse, QueryDict
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from planner.measures import MeasureError, parse_count
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.common.numbers import whole_number
from shopapp.designs.models import Design
from shopapp.designs.views import design_in_view

from . import actions, readers
from .forms import KeepGridForm
from .planning import LARGEST_SIDE
from .readers import Corrected, sources

# Presses that were made while the last answer was on its way come together.
MOST_AT_ONCE = 100


@require_http_methods(["GET", "POST"])
def grid(request: HttpRequest, pk: int) -> HttpResponse:
    found = design_in_view(pk)
    if not found.is_read or found.original_id is None:
        return redirect(found)
    if request.method == "POST":
        return _keep(request, found)
    now = _asked(found, request.GET)
    form = KeepGridForm(initial={"base": now.sources.number, "steps": now.line}, edit_version=found.edit_version)
    return render(
        request,
        "designs/grid.html",
        readers.grid_page(now) | {"form": form, "by": request.GET.get("by", ""), "part": request.GET.get("part", "")},
    )


def _keep(request: HttpRequest, design: Design) -> HttpResponse:
    form = KeepGridForm(request.POST)
    now = None
    if form.is_valid():
        try:
            now = readers.corrected(sources(design, form.cleaned_data["base"]), form.cleaned_data["steps"])
            if now.sources.number and now.place.is_untouched:
                messages.info(request, f"Grid {now.sources.number} stands as it was kept.")
                return redirect("designs:woods", pk=design.pk)
            kept = actions.keep_corrected(
                who=request.user,
                now=now,
                seen_version=form.seen_version,
                form_key=request.POST.get("form_key", ""),
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "That grid was already kept.")
            return redirect(design)
        except EditConflict as conflict:
            form.add_error(None, _meanwhile(conflict.current))
            form.data = {**form.data.dict(), "edit_version": conflict.current.edit_version}
        except PlannerError as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Grid {kept.number} is kept. Now a wood for each of its colours.")
            return redirect("designs:woods", pk=design.pk)
    now = now or _asked(design, QueryDict())
    return render(request, "designs/grid.html", readers.grid_page(now) | {"form": form}, status=422)


def _meanwhile(design: Design) -> str:
    last = design.grids.select_related("kept_by").first()
    what = f"{design.name} was changed meanwhile"
    if last is not None:
        what += f"; its newest grid is number {last.number}" + (
            f", kept by {last.kept_by.username}" if last.kept_by else ""
        )
    return f"{what}. Yours is below as you left it: keep it to put it in its place."


def _asked(design: Design, asked: QueryDict) -> Corrected:
    """The grid that an address asks for; where it asks for nonsense, the grid as it stands, with words."""
    base, trouble = asked.get("base", ""), ""
    steps = asked.getlist("step")[:MOST_AT_ONCE]
    if "tap" in steps:
        steps = []
        try:
            row, column = (parse_count(asked.get(name, ""), least=1, most=LARGEST_SIDE) for name in ("row", "column"))
            steps = [f"x{row - 1}.{column - 1}"]
        except MeasureError as error:
            trouble = f"Row and column: {error}"
    try:
        number = whole_number(base, 5)
        now = readers.corrected(
            sources(design, number), asked.get("steps", ""), steps, by=asked.get("by", "px"), part=asked.get("part", "")
        )
    except PlannerError as error:
        now, trouble = readers.corrected(sources(design), ""), str(error)
    return replace(now, trouble=trouble or now.trouble)


def _with_picture(pk: int) -> Design:
    found = design_in_view(pk)
    if not found.is_read or found.original_id is None:
        raise Http404
    return found


@require_GET
def grid_live(request: HttpRequest, pk: int) -> HttpResponse:
    """The grid after one more correction, as the page draws it."""
    return JsonResponse(readers.live(_asked(_with_picture(pk), request.GET)))


@require_GET
def grid_cells(request: HttpRequest, pk: int) -> HttpResponse:
    """The cells as they come out, one pixel each, transparent where they are background."""
    return HttpResponse(_asked(_with_picture(pk), request.GET).png, content_type="image/png")
