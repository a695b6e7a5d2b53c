"""All invoices, everything that is owed, and a year of both as tables."""

from __future__ import annotations

from urllib.parse import urlencode

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from shopapp.common.tables import answer
from shopapp.people.permissions import owner_required

from . import readers, tables
from .forms import ShowForm

A_PAGE = 50


@require_GET
@owner_required
def invoices(request: HttpRequest) -> HttpResponse:
    years = readers.years()
    form = ShowForm(request.GET, years=years)
    year, show, words = form.asked()
    today = timezone.localdate()
    lines = readers.lines_of(readers.invoices_asked(year, words), show, today)
    page = Paginator(lines, A_PAGE).get_page(request.GET.get("page"))
    narrowing = {name: value for name, value in (("year", year or ""), ("show", show), ("words", words)) if value}
    context = {
        "form": form,
        "page": page,
        "lines": page.object_list,
        "years": years,
        "narrowed": bool(narrowing),
        "query": f"{urlencode(narrowing)}&" if narrowing else "",
    }
    return render(request, "payments/invoices.html", context, status=422 if form.errors else 200)


@require_GET
@owner_required
def owed(request: HttpRequest) -> HttpResponse:
    return render(request, "payments/owed.html", {"tables": readers.owed(timezone.localdate())})


@require_GET
@owner_required
def invoices_csv(request: HttpRequest, year: int) -> HttpResponse:
    return _csv(tables.invoices_csv, "invoices", year)


@require_GET
@owner_required
def payments_csv(request: HttpRequest, year: int) -> HttpResponse:
    return _csv(tables.payments_csv, "payments", year)


def _csv(table, name: str, year: int) -> HttpResponse:
    if not 1900 <= year <= 9000:
        raise Http404("There is no such year in the book.")
    return answer(f"{name}-{year}.csv", table(year))
