"""What is open of each invoice: derived from the entries each time, kept nowhere. A fixed number of queries."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import QuerySet, Sum

from planner.measures import round_half_up

from .models import CreditNote, Invoice, Payment

NOUGHT = Decimal(0)
DECIMALS = 4


@dataclass(frozen=True)
class Balance:
    """An invoice with what was credited of it and what was paid for it, money given back taken off."""

    invoice: Invoice
    credited: Decimal
    paid: Decimal

    @property
    def asked(self) -> Decimal:
        return self.invoice.gross - self.credited

    @property
    def open(self) -> Decimal:
        """What is still to be paid; nothing where more was paid than is asked."""
        return max(self.asked - self.paid, NOUGHT)

    @property
    def to_give_back(self) -> Decimal:
        return max(self.paid - self.asked, NOUGHT)

    @property
    def is_cancelled(self) -> bool:
        return self.asked == NOUGHT

    def is_overdue(self, today: date) -> bool:
        return self.open > 0 and self.invoice.is_late(today)

    def days_late(self, today: date) -> int:
        return max((today - self.invoice.due).days, 0) if self.open else 0

    def state(self, today: date) -> str:
        """How far it is, in the trade's words."""
        if self.to_give_back:
            return "to be given back in part" if self.asked else "to be given back"
        if self.is_cancelled:
            return "cancelled"
        if not self.open:
            return "paid"
        if self.is_overdue(today):
            return "overdue"
        return "paid in part" if self.paid else "open"


def balances_of(invoices: Iterable[Invoice]) -> list[Balance]:
    """Two queries, however many invoices there are."""
    invoices = list(invoices)
    among = {"invoice__in": [invoice.pk for invoice in invoices]} if len(invoices) <= 500 else {}
    credited = _sums(CreditNote.objects.filter(**among), "gross")
    paid = _sums(Payment.objects.filter(**among), "amount")
    return [Balance(one, credited.get(one.pk, NOUGHT), paid.get(one.pk, NOUGHT)) for one in invoices]


def _sums(rows: QuerySet, field: str) -> dict[int, Decimal]:
    # One database adds in binary fractions: what it tells is brought back to the decimals the columns have.
    sums = rows.order_by().values_list("invoice").annotate(Sum(field))
    return {pk: round_half_up(amount, DECIMALS) for pk, amount in sums}
