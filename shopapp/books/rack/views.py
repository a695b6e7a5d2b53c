"""The moves of wood behind a figure of the books."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from shopapp.books.asking import paged, period_asked
from shopapp.books.entries import Currency
from shopapp.books.pages import wood_names
from shopapp.books.tables import Table, as_csv
from shopapp.common import tables as files
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from .moves import WAYS, rack_moves
from .tables import entries_table


def _found(request: HttpRequest, year: int, way: str) -> Table:
    names, wood = wood_names(), request.GET.get("wood", "")
    if way not in WAYS or (wood and wood not in names):
        raise Http404("The books have no such line.")
    own = Currency.of(workshop_of(request))
    return entries_table(list(rack_moves()), names, way, wood, period_asked(request, year), own)


@require_GET
@owner_required
def entries(request: HttpRequest, year: int, way: str) -> HttpResponse:
    table, period = _found(request, year, way), period_asked(request, year)
    context = {
        "table": table,
        "period": period,
        "back": "wood",
        "csv_name": "books:rack_entries_csv",
        "way": way,
        **paged(request, table.rows),
    }
    return render(request, "books/listed.html", context)


@require_GET
@owner_required
def entries_csv(request: HttpRequest, year: int, way: str) -> HttpResponse:
    return files.answer(f"wood-{way}-{year}.csv", as_csv([_found(request, year, way)]))
