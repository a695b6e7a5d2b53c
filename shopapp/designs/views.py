"""Designs as a whole: the lists, a design's own page, put out of sight."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from shopapp.common.actions import AlreadySent, spend_key

from . import actions, readers
from .models import Design


def design_in_view(pk: int) -> Design:
    """A design that is not set aside, with its pictures' rows; the page of what is not found otherwise."""
    return get_object_or_404(Design.objects.select_related("original", "shown", "grid"), pk=pk, set_aside=False)


@require_GET
def designs(request: HttpRequest) -> HttpResponse:
    return render(request, "designs/designs.html", {"cards": readers.designs_in_view()})


@require_GET
def designs_aside(request: HttpRequest) -> HttpResponse:
    return render(request, "designs/aside.html", {"cards": readers.designs_in_view(aside=True)})


@require_GET
def design(request: HttpRequest, pk: int) -> HttpResponse:
    return render(
        request, "designs/design.html", readers.design_page(design_in_view(pk), may_reckon=request.user.is_owner)
    )


@require_POST
def set_aside(request: HttpRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(Design, pk=pk)
    aside = request.POST.get("aside") == "1"
    try:
        actions.set_aside_design(
            who=request.user, design=found, aside=aside, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        messages.info(request, f"{found.name} was already {'set aside' if aside else 'brought back'}.")
        return redirect("designs:designs")
    messages.success(request, f"{found.name} is {'set aside; its kept plans stay' if aside else 'back'}.")
    return redirect("designs:aside" if aside else "designs:designs")
