"""The pages of the books, the owner's alone; all of them only look."""

from __future__ import annotations

from dataclasses import replace

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from shopapp.common import tables as files
from shopapp.common.actions import AlreadySent, EditConflict
from shopapp.people.permissions import owner_required
from shopapp.workshop.readers import workshop_of

from . import charts, listed, statement
from .actions import begin_years
from .asking import begins as begins_of_shop
from .asking import currency_asked, day_asked, in_currency, paged, period_asked, period_of
from .entries import ledger
from .forms import BeginsForm
from .models import BookYear
from .onpaper.actions import papers_of
from .pages import LISTS, PARTS, Asked, Read, tables_called
from .period import Period
from .sums import currencies, years
from .tables import Table, as_csv

# Of what is to be looked at a page names so many.
MOST_TOLD = 20


@require_GET
@owner_required
def now(request: HttpRequest) -> HttpResponse:
    return redirect("books:year", begins_of_shop().year_of(timezone.localdate()))


@require_http_methods(["GET", "POST"])
@owner_required
def begins(request: HttpRequest) -> HttpResponse:
    """The day the years begin on."""
    row = BookYear.objects.filter(pk=1).first() or BookYear(pk=1)
    form, rows = BeginsForm(request.POST if request.method == "POST" else None, row=row), None
    if request.method == "POST" and form.is_valid():
        try:
            begin_years(who=request.user, begins=form.begins(), seen_version=form.seen_version, spend=form.spend)
        except AlreadySent:
            return redirect("books:now")
        except EditConflict as conflict:
            rows = form.against(BeginsForm(None, row=conflict.current))
        else:
            messages.success(request, f"The books’ years begin on {form.begins().words}.")
            return redirect("books:now")
    context = {"form": form, "conflict": rows is not None, "conflict_rows": rows}
    return render(
        request, "books/begins.html", context, status=422 if form.errors else 409 if rows is not None else 200
    )


@require_GET
@owner_required
def year(request: HttpRequest, year: int) -> HttpResponse:
    return _page(request, period_of(year))


@require_GET
@owner_required
def month(request: HttpRequest, year: int, month: int) -> HttpResponse:
    if not month:
        raise Http404("There is no such month.")
    return _page(request, period_of(year, month))


def _page(request: HttpRequest, period: Period) -> HttpResponse:
    shop, today = workshop_of(request), timezone.localdate()
    book = ledger(shop, period.begins)
    look_at = list(statement.to_look_at(book))
    context = {
        "period": period,
        "years": [replace(period.whole, year=one) for one in years(book, today)],
        "found": [
            {"book": one, "drawings": charts.of_statement(one), "shop": in_currency(shop, one.currency)}
            for one in statement.statements(book, period, today)
        ],
        "look_at": look_at[:MOST_TOLD],
        "more_to_look_at": max(len(look_at) - MOST_TOLD, 0),
    }
    return render(request, "books/year.html", context)


@require_GET
@owner_required
def sheet(request: HttpRequest, year: int) -> HttpResponse:
    """A year's end on paper: every table of the year, one after another."""
    shop, today, period = workshop_of(request), timezone.localdate(), period_of(year)
    read = Read(shop, period, today)
    book = read.book
    context = {
        "period": period,
        "today": today,
        "found": [
            {"book": one, "drawings": charts.of_statement(one), "shop": in_currency(shop, one.currency)}
            for one in statement.statements(book, period, today)
        ],
        "stock": listed.pieces_in_stock(book, period.last),
        "parts": [(part, part.tables(read)) for part in PARTS.values()],
        "papers": papers_of(year),
    }
    return render(request, "books/sheet.html", context)


@require_GET
@owner_required
def part(request: HttpRequest, year: int, part: str) -> HttpResponse:
    """One of the pages beside the year's own, of the year or of a month of it."""
    if part not in PARTS:
        raise Http404("The books have no such page.")
    shop, period = workshop_of(request), period_asked(request, year)
    found = PARTS[part].tables(Read(shop, period, timezone.localdate()))
    context = {
        "period": period,
        "here": part,
        "part": PARTS[part],
        "found": [{"table": one, "shop": in_currency(shop, one.currency)} for one in found],
    }
    return render(request, "books/part.html", context)


@require_GET
@owner_required
def table_csv(request: HttpRequest, year: int, table: str) -> HttpResponse:
    period = period_asked(request, year)
    found = tables_called(table, Read(workshop_of(request), period, timezone.localdate()))
    if found is None:
        raise Http404("There is no such table in the books.")
    return files.answer(f"{table}-{period.stem}.csv", as_csv(found))


def _listed(request: HttpRequest, year: int, what: str) -> listed.Listed:
    shop, period = workshop_of(request), period_asked(request, year)
    book = ledger(shop, period.begins)
    currency = currency_asked(request, shop, set(currencies(book)))
    found = listed.listed(book, what, period, currency)
    if found is None:
        raise Http404("The books have no such line.")
    return found


@require_GET
@owner_required
def entries(request: HttpRequest, year: int, what: str) -> HttpResponse:
    found = _listed(request, year, what)
    table = listed.as_table(found)
    context = {"found": found, "what": what, "table": table, **paged(request, table.rows)}
    return render(request, "books/entries.html", context)


@require_GET
@owner_required
def entries_csv(request: HttpRequest, year: int, what: str) -> HttpResponse:
    found = _listed(request, year, what)
    return files.answer(f"{what}-{found.period.stem}.csv", as_csv([listed.as_table(found)]))


def _rows(request: HttpRequest, year: int, part: str, what: str) -> tuple[Table, Period]:
    period = period_asked(request, year)
    read = Read(workshop_of(request), period, timezone.localdate())
    asked = Asked(request.GET.dict(), request.GET.get("in", ""))
    found = LISTS[part](read, what, asked) if part in LISTS else None
    if found is None:
        raise Http404("The books have no such list.")
    return found, period


@require_GET
@owner_required
def rows(request: HttpRequest, year: int, part: str, what: str) -> HttpResponse:
    """What a figure of a page beside the year is made of."""
    table, period = _rows(request, year, part, what)
    context = {
        "table": table,
        "period": period,
        "part": part,
        "back": part if part in PARTS else "",
        "what": what,
        **paged(request, table.rows),
    }
    return render(request, "books/listed.html", context)


@require_GET
@owner_required
def rows_csv(request: HttpRequest, year: int, part: str, what: str) -> HttpResponse:
    return files.answer(f"{part}-{what}-{year}.csv", as_csv([_rows(request, year, part, what)[0]]))


@require_GET
@owner_required
def stock(request: HttpRequest) -> HttpResponse:
    day = day_asked(request)
    found = listed.pieces_in_stock(ledger(workshop_of(request), begins_of_shop()), day)
    year = Period(begins_of_shop().year_of(day))
    return render(request, "books/stock.html", {"found": found, "day": day, "year": year})


@require_GET
@owner_required
def stock_csv(request: HttpRequest) -> HttpResponse:
    day = day_asked(request)
    found = listed.pieces_in_stock(ledger(workshop_of(request), begins_of_shop()), day)
    return files.answer(f"stock-{day.isoformat()}.csv", as_csv(found))
