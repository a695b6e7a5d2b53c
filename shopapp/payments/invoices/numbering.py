"""Numbers without gaps: the next one of a year is taken in the transaction that writes the row under it.

Whoever takes one holds the year's series until that transaction is done, and the number is the last row's and one; so
two at once get two that follow on one another, and whoever is refused leaves none out.
"""

from __future__ import annotations

from datetime import date

from planner.errors import PlannerError
from shopapp.payments.models import CreditNote, Invoice, Series

_ROWS = {Series.Kind.INVOICE: Invoice, Series.Kind.CREDIT: CreditNote}


class OutOfOrder(PlannerError):
    """A paper would be dated before the one whose number goes before its own."""


def next_number(kind: str, dated: date) -> int:
    """To be called inside the transaction that writes the row. Raises OutOfOrder for a day before the newest's."""
    Series.objects.get_or_create(kind=kind, year=dated.year)
    Series.objects.select_for_update().get(kind=kind, year=dated.year)
    newest = _ROWS[Series.Kind(kind)].objects.filter(year=dated.year).order_by("-number").first()
    if newest is None:
        return 1
    if dated < newest.dated:
        raise OutOfOrder(
            f"{newest} is dated {newest.dated.day} {newest.dated:%B %Y}, and numbers follow the days.",
            mend="Choose that day or a later one.",
            field="dated",
        )
    return newest.number + 1
