"""What pages show of an expense and of what was given back: as written, or struck with why."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Self

from django.db.models import Q, QuerySet
from django.urls import reverse

from shopapp.listings.models import Expense, Parcel, SaleChange

# In the key of an expense that takes the place of one with that key.
AGAIN = " again "


def refused(row: Expense | SaleChange) -> str:
    """Why a row cannot be taken back, in words; "" where it can. Two queries at most."""
    if row.undoes_id is not None:
        return "That takes another back."
    if type(row).objects.filter(undoes=row).exists():
        return "That was taken back already."
    if isinstance(row, SaleChange):
        if row.kind != SaleChange.Kind.REDUCED:
            return "The sale is over by it. Write the piece down as sold again, if it was not."
        if SaleChange.objects.filter(sale=row.sale_id).exclude(kind=SaleChange.Kind.REDUCED).exists():
            return "The sale is over, and all of it is reckoned up."
    return ""


@dataclass(frozen=True)
class Written:
    """A row of money in its place. ``why`` it was taken back, and when, where it was."""

    row: Expense | SaleChange
    words: str
    amount: Decimal
    money: object
    to: str
    struck: bool
    why: str = ""
    since: date | None = None

    @classmethod
    def of(cls, row: Expense | SaleChange) -> Self:
        back = getattr(row, "undone_by", None)
        if isinstance(row, SaleChange):
            words = f"{row.get_kind_display()}{f': {row.words}' if row.words else ''}"
            about = (words, row.back, row.sale, reverse("listings:given_back", args=[row.pk]))
        else:
            about = (row.words, row.amount, row, reverse("listings:expense", args=[row.pk]))
        if back is None:
            return cls(row, *about, struck=False)
        why = back.words if isinstance(back, SaleChange) else back.why
        return cls(row, *about, struck=True, why=why, since=back.on)


def spent(rows: QuerySet[Expense]) -> list[Written]:
    """Expenses as they stand, each that was taken back struck; what takes one back stands with it. One query."""
    kept = rows.filter(undoes=None).select_related("undone_by").order_by("on", "pk")
    return [Written.of(row) for row in kept]


def given_back(changes: Iterable[SaleChange]) -> list[Written]:
    """The same of what became of a sale, ``undone_by`` read with it. No query."""
    return [Written.of(row) for row in changes if row.undoes_id is None]


def carriage_of(parcel: Parcel) -> QuerySet[Expense]:
    """What was written of what its carrier was paid."""
    key = f"carriage of parcel {parcel.pk}"
    return Expense.objects.filter(Q(key=key) | Q(key__startswith=f"{key}{AGAIN}"))
