"""The settings: a page of sections, each saved by itself."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.common.words import in_shop_words
from shopapp.people.permissions import owner_required

from .actions import change_settings
from .readers import the_workshop, workshop_of
from .sections import DOORS, SECTIONS
from .selling import SellingForm


@require_GET
@owner_required
def settings(request: HttpRequest) -> HttpResponse:
    return render(request, "workshop/settings.html", {"sections": SECTIONS, "doors": DOORS})


@require_http_methods(["GET", "POST"])
@owner_required
def section(request: HttpRequest, key: str) -> HttpResponse:
    part = next((s for s in SECTIONS if s.key == key), None)
    if part is None:
        raise Http404
    form = part.form(request.POST if request.method == "POST" else None, workshop=workshop_of(request))
    conflict_rows = None
    if request.method == "POST" and form.is_valid():
        try:
            workshop = change_settings(
                who=request.user,
                title=part.title,
                changes=form.changes(),
                fees=form.fees() if isinstance(form, SellingForm) else None,
                seen_version=form.seen_version,
                spend=form.spend,
            )
        except AlreadySent:
            messages.info(request, "These settings were already kept.")
            return redirect("workshop:settings")
        except EditConflict:
            conflict_rows = form.against(part.form(workshop=the_workshop(), unit_shown=form.unit_shown))
        else:
            messages.success(request, f"{part.title} kept. Plans kept before stay as they were.")
            for said in form.minded():
                messages.warning(request, in_shop_words(f"{said.field.label}: {said.words}", workshop.words))
            return redirect("workshop:settings")
    context = {
        "section": part,
        "form": form,
        "conflict": conflict_rows is not None,
        "conflict_rows": conflict_rows,
    }
    status = 422 if form.errors else 200 if conflict_rows is None else 409
    return render(request, "workshop/section.html", context, status=status)
