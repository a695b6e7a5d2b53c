"""A picture reduced to a chosen grid, seen while it is chosen."""

from __future__ import annotations

from dataclasses import asdict

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.designs.grid.actions import keep_reduced
from shopapp.designs.models import Design
from shopapp.designs.views import design_in_view

from . import planning, readers
from .forms import ReduceForm


@require_http_methods(["GET", "POST"])
def reduce(request: HttpRequest, pk: int) -> HttpResponse:
    """GET shows what the address asks for; POST keeps it, or without scripts shows what was chosen."""
    found = design_in_view(pk)
    if found.original_id is None:
        return redirect(found)
    keep = request.method == "POST" and "show" not in request.POST
    data = request.POST if request.method == "POST" else _asked(found, request.GET)
    form = _form(found, data, edit_version=None if request.method == "POST" else found.edit_version)
    reduced = readers.reduced_of(found, form)
    if keep and form.is_valid():
        answer = _keep(request, found, form)
        if answer is not None:
            return answer
    context = readers.reduce_page(found, form, reduced)
    return render(request, "designs/reduce.html", context, status=422 if form.errors and keep else 200)


def _asked(design: Design, asked) -> dict[str, object]:
    """What an address asks for, and where it says nothing, how the page opens."""
    start = {name: str(value) for name, value in asdict(readers.start_of(design)).items()}
    return {**start, **{name: text for name, text in asked.items() if name in start}}


def _form(design: Design, data, *, edit_version: int | None = None) -> ReduceForm:
    if edit_version is not None:
        data = {**data, "edit_version": edit_version}
    return ReduceForm(data, picture=(design.original.width, design.original.height))


def _keep(request: HttpRequest, design: Design, form: ReduceForm) -> HttpResponse | None:
    cut = form.cut()
    try:
        kept = keep_reduced(
            who=request.user,
            design=design,
            reduction=asdict(cut),
            place=planning.place_of_cut(cut),
            png=readers.cells_of(design, cut),
            changes=readers.changes_in_words(design, cut),
            seen_version=form.seen_version,
            form_key=request.POST.get("form_key", ""),
            spend=form.spend,
        )
    except AlreadySent:
        messages.info(request, "That grid was already kept.")
        return redirect(design)
    except EditConflict as conflict:
        form.add_error(
            None, f"{design.name} was changed meanwhile. Yours is below as you left it: keep it to put it in its place."
        )
        form.data = {**form.data.dict(), "edit_version": conflict.current.edit_version}
    except PlannerError as error:
        form.add_error(error.field if error.field in form.fields else None, str(error))
    else:
        messages.success(request, f"Grid {kept.number} is kept. Now a wood for each of its colours.")
        return redirect("designs:woods", pk=design.pk)
    return None


def _with_picture(pk: int) -> Design:
    found = design_in_view(pk)
    if found.original_id is None:
        raise Http404
    return found


@require_GET
def reduce_live(request: HttpRequest, pk: int) -> HttpResponse:
    """The grid that is being chosen; nothing is kept."""
    found = _with_picture(pk)
    form = _form(found, _asked(found, request.GET))
    return render(request, "designs/_reduced_live.html", {"design": found, "reduced": readers.reduced_of(found, form)})


@require_GET
def reduce_cells(request: HttpRequest, pk: int) -> HttpResponse:
    """Its cells, one pixel each."""
    found = _with_picture(pk)
    form = _form(found, _asked(found, request.GET))
    if not form.is_valid():
        raise Http404
    try:
        png = readers.cells_of(found, form.cut())
    except PlannerError as error:
        raise Http404 from error
    return HttpResponse(png, content_type="image/png")
