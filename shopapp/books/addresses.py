"""Where what a figure of the books is made of is listed."""

from __future__ import annotations

from datetime import date
from urllib.parse import urlencode

from django.urls import reverse

from .entries import Currency
from .period import Period


def _asked(period: Period, currency: Currency | None, more: dict[str, object]) -> str:
    month = {"month": period.month} if period.month else {}
    asked = {**({"in": currency.currency_symbol} if currency else {}), **month, **more}
    return f"?{urlencode(asked)}" if asked else ""


def entries_at(period: Period, what: str, currency: Currency) -> str:
    """The entries of a line or a group."""
    return f"{reverse('books:entries', args=[period.year, what])}{_asked(period, currency, {})}"


def rows_at(period: Period, part: str, what: str, currency: Currency | None = None, **more: object) -> str:
    """The rows of ``what`` on a page beside the year, of whichever ``more`` names; what is empty is not named."""
    named = {name: value for name, value in more.items() if value not in ("", None)}
    return f"{reverse('books:rows', args=[period.year, part, what])}{_asked(period, currency, named)}"


def stock_on(day: date) -> str:
    """The pieces in stock when a day ended."""
    return f"{reverse('books:stock')}?on={day.isoformat()}"
