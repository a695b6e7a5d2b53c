"""What an address of the books asks for: a year, a month, a day, a currency."""

from __future__ import annotations

from copy import copy
from datetime import date

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest
from django.utils import timezone

from shopapp.common.numbers import whole_number
from shopapp.workshop.models import Workshop

from .entries import Currency
from .models import BookYear
from .period import FIRST_YEAR, LAST_YEAR, USUAL, Begins, Period, a_day
from .tables import Row

A_PAGE = 200


def period_of(year: int, month: int = 0) -> Period:
    if not FIRST_YEAR <= year <= LAST_YEAR or not 0 <= month <= 12:
        raise Http404("There is no such year or month in the books.")
    return Period(year, month, begins())


def begins() -> Begins:
    """The day the shop's years begin on. One query."""
    row = BookYear.objects.filter(pk=1).first()
    return Begins(row.month, row.day) if row is not None else USUAL


def period_asked(request: HttpRequest, year: int) -> Period:
    """The year, or the month of it that is named; what is no month is passed over."""
    month = whole_number(request.GET.get("month", "")) or 0
    return period_of(year, month if 0 <= month <= 12 else 0)


def day_asked(request: HttpRequest) -> date:
    """The day that is named, else today."""
    return a_day(request.GET.get("on", ""), timezone.localdate())


def currency_asked(request: HttpRequest, shop: Workshop, among: set[Currency]) -> Currency:
    """The currency whose symbol is named, the shop's where none is."""
    symbol = request.GET.get("in", "")
    if not symbol:
        return Currency.of(shop)
    found = next((one for one in sorted({Currency.of(shop), *among}) if one.currency_symbol == symbol), None)
    if found is None:
        raise Http404("Nothing is written in that currency.")
    return found


def in_currency(shop: Workshop, currency: Currency) -> Workshop:
    """The shop as pages of another currency speak of it."""
    other = copy(shop)
    other.currency_symbol, other.currency_exponent = currency.currency_symbol, currency.currency_exponent
    return other


def paged(request: HttpRequest, rows: list[Row]) -> dict[str, object]:
    """One page of many rows, with what its links to the others carry along."""
    query = request.GET.copy()
    query.pop("page", None)
    return {
        "page": Paginator(rows, A_PAGE).get_page(request.GET.get("page")),
        "query": f"{query.urlencode()}&" if query else "",
    }
