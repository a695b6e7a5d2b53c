"""Money that came in, beside what was sold: what is still owed, and what was paid before it was sold."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.urls import reverse

from shopapp.listings.models import Sale, SaleChange
from shopapp.payments.models import Account, CreditNote, Invoice, Payment

from .addresses import rows_at
from .entries import Currency, Ledger
from .entries.invoices import is_by_hand
from .period import Period
from .tables import DAY, MONEY, MONTHS, Cell, Head, Table

SOLD, CAME, OWED, ADVANCE = "sold", "came-in", "owed", "advance"
NAMES = {
    SOLD: "Sold, tax and all", CAME: "Money that came in", OWED: "Still owed", ADVANCE: "Paid in advance",
}  # fmt: skip
NO_HOW = "not said"
WORDS = (
    "Sold counts on the day of the sale, of a commission and of a repair that was quoted the day it is handed over, of "
    "any other repair the day of its invoice; money counts on the day it came or went back. What was sold and not paid "
    "by then is owed; what was paid and not sold by then is paid in advance."
)


@dataclass(frozen=True, slots=True)
class Paid:
    """One row on ``account`` ("" where it was paid on the spot): ``sold`` asks for money, or ``came`` in; below nought
    where it was given back. ``how`` it came."""

    on: date
    way: str
    account: str
    amount: Decimal
    currency: Currency
    words: str
    to: tuple[str, int]
    source: str
    how: str = ""


def paid_rows(ledger: Ledger) -> list[Paid]:
    """Five queries."""
    accounts = {one.pk: one for one in Account.objects.defer("lines")}
    invoices = {one.pk: one for one in Invoice.objects.defer("letterhead").order_by("pk")}
    for invoice in invoices.values():
        invoice.account = accounts[invoice.account_id]
    sold = {one.account_key for one in ledger.sales.values() if one.account_key}
    rows = [*_of_sales(ledger), *_of_changes(ledger)]
    rows += [
        Paid(one.on, SOLD, one.account, one.sums.gross, one.currency, one.words, one.to, one.source)
        for one in ledger.quoted
    ]
    by_hand = {pk for pk, one in invoices.items() if is_by_hand(one.account, sold)}
    for pk in by_hand:
        rows.append(_of_paper(invoices[pk], invoices[pk], 1, ("payments:invoice", pk), f"invoice {pk}"))
    for note in CreditNote.objects.filter(invoice__in=by_hand).defer("letterhead"):
        to = ("payments:credit_note", note.pk)
        rows.append(_of_paper(note, invoices[note.invoice_id], -1, to, f"credit note {note.pk}"))
    for payment in Payment.objects.order_by("pk"):
        invoice = invoices[payment.invoice_id]
        rows.append(
            Paid(
                payment.on, CAME, invoice.account.key, payment.amount, Currency.of(invoice),
                f"{invoice}: {invoice.account.label}", ("payments:invoice", invoice.pk), f"payment {payment.pk}",
                payment.get_how_display(),
            )
        )  # fmt: skip
    return rows


def _of_sales(ledger: Ledger) -> list[Paid]:
    rows = []
    for sale in ledger.sales.values():
        rows += _both(sale, ledger, sale.on, sale.gross, f"sale {sale.pk}", "sold")
    return rows


def _of_changes(ledger: Ledger) -> list[Paid]:
    rows = []
    for change in SaleChange.objects.exclude(back=0).order_by("pk"):
        sale = ledger.sales[change.sale_id]
        words = "not given back after all" if change.undoes_id else change.get_kind_display()
        rows += _both(sale, ledger, change.on, -change.back, f"change {change.pk}", words)
    return rows


def _both(sale: Sale, ledger: Ledger, on: date, amount: Decimal, source: str, words: str) -> list[Paid]:
    """What was asked, and where no account says otherwise, that it was paid on the spot."""
    piece = ledger.pieces[sale.piece_id]
    about = (
        sale.account_key, amount, Currency.of(sale), f"{piece}: {words}", ("listings:piece", piece.pk), source
    )  # fmt: skip
    asked = Paid(on, SOLD, *about)
    return [asked] if sale.account_key else [asked, Paid(on, CAME, *about, sale.get_how_display())]


def _of_paper(row: Invoice | CreditNote, invoice: Invoice, sign: int, to: tuple[str, int], source: str) -> Paid:
    words = f"{row}: {invoice.account.label}"
    return Paid(row.dated, SOLD, invoice.account.key, sign * row.gross, Currency.of(invoice), words, to, source)


@dataclass(frozen=True)
class Standing:
    """What is owed and what was paid in advance when a day ends, by account."""

    owed: dict[str, Decimal]
    advance: dict[str, Decimal]

    @property
    def both(self) -> tuple[tuple[str, dict[str, Decimal]], ...]:
        return (OWED, self.owed), (ADVANCE, self.advance)


def standing_at(rows: Sequence[Paid], day: date, currency: Currency) -> Standing:
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for row in rows:
        if row.on <= day and row.currency == currency and row.account:
            sums[row.account] += row.amount if row.way == SOLD else -row.amount
    return Standing(
        {key: amount for key, amount in sums.items() if amount > 0},
        {key: -amount for key, amount in sums.items() if amount < 0},
    )


def money_table(rows: Sequence[Paid], period: Period, currency: Currency, today: date) -> Table:
    heads = (
        Head("Month", MONTHS), Head("Sold, tax and all", MONEY), Head("Money came in", MONEY),
        Head("Still owed at its end", MONEY), Head("Paid in advance at its end", MONEY),
    )  # fmt: skip
    year = period.whole
    table = Table("money", f"Sold and paid, {year.words}", heads, currency, words=WORDS)
    mine = [row for row in rows if row.currency == currency]
    until = max([today, *(row.on for row in mine if year.holds(row.on))])
    for one in (*(month for month in year.months if month.first <= until), year):
        stands = standing_at(mine, one.last, currency)
        table.add(
            one.short if one.month else "The year",
            *(_cell(_sum(mine, way, one), one, way, currency) for way in (SOLD, CAME)),
            _open(sum(stands.owed.values(), Decimal(0)), one, OWED, currency),
            _open(sum(stands.advance.values(), Decimal(0)), one, ADVANCE, currency),
            strong=not one.month,
        )
    return table


def how_table(rows: Sequence[Paid], period: Period, currency: Currency) -> Table:
    table = Table("how", f"How it came in, {period.words}", (Head("How"), Head("Came in", MONEY)), currency)
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for row in rows:
        if row.way == CAME and row.currency == currency and period.holds(row.on):
            sums[row.how] += row.amount
    for how in sorted(sums):
        table.add(how.capitalize(), _cell(sums[how], period, CAME, currency, how=how or NO_HOW))
    table.add("In all", _cell(sum(sums.values(), Decimal(0)), period, CAME, currency), strong=True)
    return table


def open_table(
    rows: Sequence[Paid], labels: dict[str, tuple[str, int]], period: Period, currency: Currency
) -> Table:  # fmt: skip
    """Who owes and who paid in advance, by account; ``labels`` are what accounts are of and their numbers."""
    day = period.last
    heads = (Head("For what"), Head("Still owed", MONEY), Head("Paid in advance", MONEY))
    table = Table("open", f"Open when {day.day} {day:%B %Y} ended", heads, currency)
    stands = standing_at(rows, day, currency)
    for key in sorted(stands.owed | stands.advance, key=lambda one: labels.get(one, (one, 0))):
        label, pk = labels.get(key, (key, 0))
        page = reverse("payments:account", args=[pk]) if pk else ""
        found = (_open(one.get(key), period, way, currency, key) for way, one in stands.both)
        table.add(Cell(label, page), *found)
    sums = (_open(sum(one.values(), Decimal(0)), period, way, currency) for way, one in stands.both)
    table.add("In all", *sums, strong=True)
    return table


def _open(amount: Decimal | None, period: Period, way: str, currency: Currency, account: str = "") -> Cell:
    return Cell(amount, rows_at(period, "money", way, currency, account=account) if amount else "")


def standing_table(rows: Sequence[Paid], way: str, period: Period, currency: Currency, account: str) -> Table:
    """What was sold and paid on every account that is open when the period ends, or on the one that is named."""
    heads = (Head("Day", DAY), Head("What", name="what"), Head("Amount", MONEY), Head("How"), Head("Entry"))
    table = Table("standing", f"{NAMES[way]} when {period.words} ended", heads, currency)
    stands = dict(standing_at(rows, period.last, currency).both)[way]
    for row in sorted(rows, key=lambda one: (one.on, one.source)):
        named = row.account in stands and account in ("", row.account)
        if named and row.currency == currency and row.on <= period.last:
            amount = row.amount if (row.way == SOLD) == (way == OWED) else -row.amount
            table.add(row.on, Cell(row.words, reverse(row.to[0], args=[row.to[1]])), amount, row.how, row.source)
    table.add(None, "In all", sum((row.cells[2].value for row in table.rows), Decimal(0)), None, None, strong=True)
    return table


def labels_of_accounts() -> dict[str, tuple[str, int]]:
    """One query."""
    return {key: (label, pk) for key, label, pk in Account.objects.values_list("key", "label", "pk")}


def _sum(rows: Sequence[Paid], way: str, period: Period) -> Decimal:
    return sum((row.amount for row in rows if row.way == way and period.holds(row.on)), Decimal(0))


def _cell(amount: Decimal, period: Period, way: str, currency: Currency, how: str = "") -> Cell:
    return Cell(amount, rows_at(period, "money", way, currency, how=how) if amount else "")


def entries_table(rows: Sequence[Paid], way: str, period: Period, currency: Currency, how: str = "") -> Table:
    """The rows behind a sum; of those that came in one way where ``how`` names it."""
    heads = (Head("Day", DAY), Head("What"), Head("Amount", MONEY), Head("How"), Head("Entry"))
    named = f", {how}" if how else ""
    table = Table("money-entries", f"{NAMES[way]}{named}, {period.words}", heads, currency)
    for row in sorted(rows, key=lambda one: (one.on, one.source)):
        meant = not how or (row.how or NO_HOW) == how
        if meant and row.way == way and row.currency == currency and period.holds(row.on):
            page = reverse(row.to[0], args=[row.to[1]])
            table.add(row.on, Cell(row.words, page), row.amount, row.how, row.source)
    table.add(None, "In all", sum((row.cells[2].value for row in table.rows), Decimal(0)), None, None, strong=True)
    return table
