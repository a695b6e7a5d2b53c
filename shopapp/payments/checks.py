"""What `manage.py verify` asks of the money ledger. Each question is answered from the rows alone, in sentences."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal

from planner.errors import PlannerError
from planner.measures import round_half_up

from .balances import balances_of
from .deals import DealLine
from .invoices.drafts import sums_of
from .models import Account, CreditNote, Invoice, MoneyPaper, Payment
from .planning import sums_of_invoice, sums_of_lines

NOUGHT = Decimal(0)


def numbers_with_gaps() -> list[str]:
    """Years in which a number is left out, or the days of the numbers do not follow on one another."""
    faults = []
    for model, name in ((Invoice, "Invoices"), (CreditNote, "Credit notes")):
        numbers: dict[int, list[tuple[int, object]]] = defaultdict(list)
        for year, number, dated in model.objects.order_by("year", "number").values_list("year", "number", "dated"):
            numbers[year].append((number, dated))
        for year, rows in numbers.items():
            there = {number for number, _ in rows}
            missing = sorted(set(range(1, max(there) + 1)) - there)
            faults += [f"{name} of {year} have no number {number}." for number in missing]
            if [dated for _, dated in rows] != sorted(dated for _, dated in rows):
                faults.append(f"{name} of {year} are not dated in the order of their numbers.")
            if any(dated.year != year for _, dated in rows):
                faults.append(f"{name} of {year} are dated in other years.")
    return faults


def sums_that_are_not_their_lines() -> list[str]:
    """Invoices whose printed lines, tax and what they take off do not come to what they say, and accounts likewise."""
    return [*_accounts_off(), *_invoices_off()]


def _accounts_off() -> Iterator[str]:
    for row in Account.objects.order_by("pk").iterator(chunk_size=500):
        sums = sums_of_lines(
            row.agreed, row.tax, row.tax_included, row.currency_exponent, carriage=row.carriage,
            deposit=row.deposit_share,
        )  # fmt: skip
        if (sums.gross, sums.deposit) != (row.gross, row.deposit):
            yield f"What is owed for {row.key} is not what its lines come to."


def _invoices_off() -> Iterator[str]:
    rows = Invoice.objects.order_by("pk").prefetch_related("lines", "taken_off__deposit")
    for row in rows.iterator(chunk_size=500):
        lines = list(row.lines.all())
        if [line.place for line in lines] != list(range(1, len(lines) + 1)):
            yield f"{row} has lost a line."
        for line in lines:
            if line.amount != round_half_up(line.each * line.count, row.currency_exponent):
                yield f"Line {line.place} of {row} is not its count times its price."
        taken = [sums_of(off) for off in row.taken_off.all()]
        asked = [DealLine(line.words, line.count, line.each) for line in lines]
        try:
            sums = sums_of_invoice(asked, row.tax, row.tax_included, row.currency_exponent, taken)
        except PlannerError:
            yield f"{row} cannot be reckoned from its lines."
            continue
        if sums != sums_of(row):
            yield f"{row} is not the sum of its lines."
        if (row.kind == Invoice.Kind.REST) != bool(taken):
            yield f"{row} takes off what it should not, or nothing where it should."


def balances_that_cannot_be() -> list[str]:
    """More credited than was invoiced, more given back than was paid, credit notes that are not their parts, entries
    taken back by another sum."""
    faults = []
    for balance in balances_of(Invoice.objects.order_by("pk")):
        if balance.asked < 0:
            faults.append(f"More is credited of {balance.invoice} than it was for.")
        if balance.paid < 0:
            faults.append(f"More was given back of {balance.invoice} than was paid.")
    for note in CreditNote.objects.order_by("pk"):
        if note.net + note.tax_sum != note.gross:
            faults.append(f"{note} is not the sum of its parts.")
    taxes: dict[int, Decimal] = defaultdict(Decimal)
    for note in CreditNote.objects.order_by("pk"):
        taxes[note.invoice_id] += note.tax_sum
    for invoice in Invoice.objects.filter(pk__in=taxes):
        if taxes[invoice.pk] > invoice.tax_sum:
            faults.append(f"More tax is credited of {invoice} than it held.")
    backs = Payment.objects.exclude(takes_back=None).select_related("takes_back")
    faults += [
        f"Entry {back.pk} does not take back what entry {back.takes_back_id} was."
        for back in backs
        if (back.amount, back.invoice_id) != (-back.takes_back.amount, back.takes_back.invoice_id)
    ]
    return faults


def papers_that_are_missing() -> list[str]:
    """Papers asked for twice, or an invoice or a credit note nobody asked a paper for; that the files are what was
    stored is asked of all files together."""
    faults = []
    for model, name in ((Invoice, "invoice"), (CreditNote, "credit_note")):
        asked = MoneyPaper.objects.exclude(**{name: None}).values_list(name, flat=True)
        faults += [f"No paper was asked for {row}." for row in model.objects.exclude(pk__in=asked).order_by("pk")]
    return faults
