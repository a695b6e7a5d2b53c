"""The doors of a year's paper; the owner's alone."""

from __future__ import annotations

from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from shopapp.books.asking import period_of
from shopapp.books.models import YearPaper
from shopapp.common.actions import AlreadySent, spend_key
from shopapp.common.documents import pdf_answer
from shopapp.people.permissions import owner_required

from .actions import ask_for_year, papers_of


@require_POST
@owner_required
def ask(request: HttpRequest, year: int) -> HttpResponse:
    period, sheet = period_of(year), request.POST.get("sheet", "")
    if sheet not in YearPaper.Sheet.values:
        messages.error(request, "It is not said on which paper. Choose A4 or Letter.")
        return redirect("books:sheet", period.year)
    try:
        ask_for_year(
            who=request.user, year=period.year, sheet=sheet, spend=lambda: spend_key(request.POST.get("form_key", ""))
        )
    except AlreadySent:
        messages.info(request, "It was asked for already.")
    return redirect("books:sheet", period.year)


@require_GET
@owner_required
def state(request: HttpRequest, year: int) -> HttpResponse:
    """What the waiting page asks every second; it never starts anything."""
    period = period_of(year)
    return render(request, "books/_paper.html", {"period": period, "papers": papers_of(period.year)})


@require_GET
@owner_required
def pdf(request: HttpRequest, year: int, year_paper_pk: int) -> FileResponse:
    found = get_object_or_404(YearPaper.objects.select_related("document").defer("says"), pk=year_paper_pk, year=year)
    return pdf_answer(found.document, f"books-{year}-{found.sheet}.pdf", "This paper is not made yet.")
