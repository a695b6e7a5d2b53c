"""The paper of a kept cut plan, asked for, waited for and opened; each by whoever wants boards cut."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.documents import pdf_answer
from shopapp.plans.cutting.asmade.readers import gauged_last
from shopapp.plans.cutting.wanted import Cutting
from shopapp.plans.models import CutSheet, TileMeasured

from . import actions
from .readers import paper_of


def paper(request: HttpRequest, cutting: Cutting, cut_pk: int) -> HttpResponse:
    """POST: have the paper made; back to the sheet's own page."""
    sheet = _sheet(cutting, cut_pk)
    try:
        actions.ask_for_paper(who=request.user, sheet=sheet, spend=lambda: spend_key(request.POST.get("form_key", "")))
    except AlreadySent:
        messages.info(request, "The marking-out sheets were already asked for.")
    return redirect(cutting.to("cut_sheet", sheet.pk))


def state(request: HttpRequest, cutting: Cutting, cut_pk: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    sheet = _sheet(cutting, cut_pk)
    return render(request, "plans/cutting/sheets/_paper.html", paper_context(cutting, sheet, gauged_last(sheet)))


def paper_context(cutting: Cutting, sheet: CutSheet, gauged: TileMeasured | None) -> dict[str, object]:
    """What ``plans/cutting/sheets/_paper.html`` needs; ``gauged`` is what was measured last. At most two queries."""
    return {
        "cut_paper": paper_of(sheet.pk),
        "to_paper": cutting.to("cut_paper", sheet.pk),
        "to_paper_state": cutting.to("cut_paper_state", sheet.pk),
        "to_paper_pdf": cutting.to("cut_paper_pdf", sheet.pk),
        "gauged_at": gauged.at if gauged else None,
        "to_as_made": cutting.to("cut_as_made", sheet.pk),
    }


def pdf(request: HttpRequest, cutting: Cutting, cut_pk: int) -> HttpResponse:
    sheet = _sheet(cutting, cut_pk)
    made = getattr(sheet, "paper", None)
    return pdf_answer(
        made and made.document, f"marking-out-{sheet.pk}.pdf", "This cut plan has no marking-out sheets yet."
    )


def _sheet(cutting: Cutting, cut_pk: int) -> CutSheet:
    rows = CutSheet.objects.select_related("paper__document").defer("form", "set_ups", "pieces")
    return get_object_or_404(rows, pk=cut_pk, key=cutting.key)
