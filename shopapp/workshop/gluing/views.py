"""Gluing and finishing: what the shop glues, clamps and finishes with."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.people.permissions import owner_required
from shopapp.workshop.models import Adhesive
from shopapp.workshop.readers import workshop_of

from . import actions
from .kinds import KINDS, Kind, too_cold


@require_GET
def gluing(request: HttpRequest) -> HttpResponse:
    shop = workshop_of(request)
    lists = []
    for kind in KINDS:
        rows = list(kind.model.objects.all())
        used = [row for row in rows if row.kept] or kind.in_use()
        lists.append(
            {
                "kind": kind,
                "used": [(row, kind.says(row, shop)) for row in used],
                "aside": [row for row in rows if not row.kept],
                "cold": [row.name for row in used if isinstance(row, Adhesive) and too_cold(row, shop)],
                "rags": any(getattr(row, "drying", False) for row in used),
            }
        )
    return render(request, "workshop/gluing.html", {"lists": lists})


@require_http_methods(["GET", "POST"])
@owner_required
def add(request: HttpRequest, kind: str) -> HttpResponse:
    what = _kind(kind)
    begin = {}
    if what.from_sheet:
        # The starting record's values, to be put right from the sheet; its name is the maker's own to give.
        begin = {name: getattr(what.model(), name) for name in what.form.base_fields if name not in _OWN}
    form = what.form(_sent(request), shop=workshop_of(request), initial=begin)
    if request.method == "POST" and form.is_valid():
        try:
            row = actions.add_material(who=request.user, model=what.model, values=form.values(), spend=form.spend)
        except AlreadySent:
            return redirect("workshop:gluing")
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{row.name} is in the book. {what.says(row, workshop_of(request))}")
            return redirect("workshop:gluing")
    context = {"kind": what, "form": form}
    return render(request, "workshop/material.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@owner_required
def change(request: HttpRequest, kind: str, material_pk: int) -> HttpResponse:
    what = _kind(kind)
    row = get_object_or_404(what.model, pk=material_pk)
    form = what.form(_sent(request), shop=workshop_of(request), row=row)
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            now = actions.change_material(
                who=request.user, row=row, values=form.values(), seen_version=form.seen_version, spend=form.spend
            )
        except AlreadySent:
            return redirect("workshop:gluing")
        except EditConflict as clash:
            conflict_rows = form.against(what.form(None, shop=workshop_of(request), row=clash.current))
        except PlannerError as error:
            form.add_error(error.field or None, str(error))
        else:
            messages.success(request, f"{now.name} is kept. Timetables kept before stay as they were.")
            return redirect("workshop:gluing")
    conflict = conflict_rows is not None
    context = {"kind": what, "form": form, "row": row, "conflict": conflict, "conflict_rows": conflict_rows}
    status = 422 if form.errors else 409 if conflict else 200
    return render(request, "workshop/material.html", context, status=status)


_OWN = ("form_key", "edit_version", "name", "source", "source_on", "kept")


def _sent(request: HttpRequest):
    return request.POST if request.method == "POST" else None


def _kind(slug: str) -> Kind:
    found = next((kind for kind in KINDS if kind.slug == slug), None)
    if found is None:
        raise Http404("Nothing of that kind is written down.")
    return found
