"""Invoices with their credit notes, and payments, of a year as tables for whoever does the books: a line each, amounts
plain, days as 2026-03-05, and no cell a spreadsheet takes for a formula."""

from __future__ import annotations

from decimal import Decimal

from planner.measures import round_half_up
from shopapp.common.fields import plain_number
from shopapp.common.tables import Cell, table
from shopapp.payments.models import CreditNote, Invoice, Payment

INVOICES = (
    "number", "kind", "dated", "to be paid by", "for whom", "what for", "currency", "without tax", "tax %", "tax",
    "to pay", "about",
)  # fmt: skip
PAYMENTS = ("on", "invoice", "for whom", "what for", "currency", "amount", "how", "note", "takes back", "entry")


def invoices_csv(year: int) -> bytes:
    """Two queries. A credit note's sums stand below nought, so that the columns add up to what is asked."""
    invoices = Invoice.objects.filter(year=year).select_related("account").order_by("number")
    notes = CreditNote.objects.filter(year=year).select_related("invoice__account").order_by("number")
    return table(INVOICES, [*map(_of_invoice, invoices), *map(_of_note, notes)])


def _of_invoice(row: Invoice) -> list[Cell]:
    sums = [row.net, row.tax_sum, row.gross]
    return _cells(row, row, Invoice.Kind(row.kind).label, row.due.isoformat(), sums, "")


def _of_note(row: CreditNote) -> list[Cell]:
    sums = [-row.net, -row.tax_sum, -row.gross]
    return _cells(row, row.invoice, "credit note", "", sums, f"{row.invoice.reference}: {row.words}")


def _cells(
    row: Invoice | CreditNote, invoice: Invoice, kind: str, due: str, sums: list[Decimal], about: str
) -> list[Cell]:
    net, tax, gross = (_amount(one, invoice) for one in sums)
    return [
        row.reference, kind, row.dated.isoformat(), due, row.for_whom, invoice.account.label, invoice.currency_symbol,
        net, plain_number(invoice.tax * 100), tax, gross, about,
    ]  # fmt: skip


def payments_csv(year: int) -> bytes:
    """One query. What was given back, and what takes an entry back, stands below nought."""
    payments = Payment.objects.filter(on__year=year).select_related("invoice__account").order_by("on", "pk")
    return table(PAYMENTS, map(_of_payment, payments))


def _of_payment(row: Payment) -> list[Cell]:
    invoice = row.invoice
    return [
        row.on.isoformat(), invoice.reference, invoice.for_whom, invoice.account.label, invoice.currency_symbol,
        _amount(row.amount, invoice), Payment.How(row.how).label, row.note, str(row.takes_back_id or ""), str(row.pk),
    ]  # fmt: skip


def _amount(value: Decimal, invoice: Invoice) -> Decimal:
    return round_half_up(value, invoice.currency_exponent)
