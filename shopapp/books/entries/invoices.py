"""Entries of what was invoiced and is no sale of a piece: repairs, things sold by hand."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from shopapp.payments.models import Account, CreditNote, Invoice

from .entry import Currency, Entry

# What a quote is paid on is sold the day it is handed over: as the sale of its piece, a repair as `quoted` says.
QUOTED = "quote "


def is_by_hand(account: Account, sold: Collection[str]) -> bool:
    """``sold`` are the accounts that sales of pieces are paid on."""
    return account.key not in sold and not account.key.startswith(QUOTED)


def of_invoices(
    invoices: Iterable[Invoice], notes: Iterable[CreditNote], sold: Collection[str]
) -> Iterator[Entry]:  # fmt: skip
    by_pk = {invoice.pk: invoice for invoice in invoices}
    for invoice in by_pk.values():
        yield from _of(invoice, invoice, 1, sold, f"invoice {invoice.pk}")
    for note in notes:
        yield from _of(note, by_pk[note.invoice_id], -1, sold, f"credit note {note.pk}")


def _of(row: Invoice | CreditNote, invoice: Invoice, sign: int, sold: Collection[str], source: str) -> Iterator[Entry]:
    if not is_by_hand(invoice.account, sold):
        return
    about = {
        "on": row.dated,
        "currency": Currency.of(invoice),
        "words": f"{row}: {invoice.account.label}",
        "to": ("payments:invoice" if sign > 0 else "payments:credit_note", row.pk),
        "source": source,
    }
    yield Entry(line="invoiced", amount=sign * row.net, **about)
    if row.tax_sum:
        yield Entry(line="tax", amount=sign * row.tax_sum, **about)
