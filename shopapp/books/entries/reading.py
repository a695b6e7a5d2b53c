"""All entries of the books, read in a fixed number of queries."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from shopapp.listings.models import Channel, Expense, Fair, FairHours, Piece, PieceCost, PieceEvent, Sale, SaleChange
from shopapp.payments.models import CreditNote, Invoice
from shopapp.workshop.models import Workshop

from ..period import USUAL, Begins
from .after import of_work_after
from .entry import Currency, Entry
from .invoices import of_invoices
from .lines import stocks
from .pieces import Move, histories
from .quoted import Earned, earned_by_quotes
from .sales import of_changes, of_expenses, of_fairs, of_sales


@dataclass(frozen=True)
class Ledger:
    """Everything that was ever written, in no order: what stands in stock on a day follows from all before it."""

    entries: list[Entry]
    moves: list[Move]
    pieces: dict[int, Piece]
    sales: dict[int, Sale]
    fairs: dict[int, Fair]
    channels: dict[int, Channel]
    shop: Currency
    # Sales that have not ended, those that clash among them.
    open_sales: set[int]
    # What repairs that came by a quote brought.
    quoted: list[Earned]
    begins: Begins

    @cached_property
    def by_month(self) -> dict[tuple[Currency, int, int], list[Entry]]:
        """The entries of each currency, year and month of it, so that none is looked at for one it is not of."""
        found: dict[tuple[Currency, int, int], list[Entry]] = defaultdict(list)
        for entry in self.entries:
            found[(entry.currency, *self.begins.month_of(entry.on))].append(entry)
        return dict(found)

    @cached_property
    def stocked(self) -> dict[tuple[Currency, int, int], Decimal]:
        """By how much each month changed what is in stock at cost."""
        return {key: sum((stocks(one) for one in entries), Decimal(0)) for key, entries in self.by_month.items()}


def ledger(shop: Workshop, begins: Begins = USUAL) -> Ledger:
    """Thirteen queries, three more where a repair or a complaint made no piece, two where one came by a quote."""
    with_design = Piece.objects.select_related("job__plan__design")
    # A plan's record is large, and only whose drawing it is of is asked here.
    pieces = {one.pk: one for one in with_design.defer("job__plan__inputs", "job__plan__result").order_by("pk")}
    costs = list(PieceCost.objects.order_by("pk"))
    sales = {one.pk: one for one in Sale.objects.select_related("channel", "fair").defer("settled").order_by("pk")}
    changes = list(SaleChange.objects.order_by("pk"))
    events = list(PieceEvent.objects.order_by("pk"))
    expenses = Expense.objects.select_related("fair").order_by("pk")
    fairs = {one.pk: one for one in Fair.objects.all()}
    channels = {one.pk: one for one in Channel.objects.all()}
    hours = FairHours.objects.order_by("pk")
    invoices = list(Invoice.objects.select_related("account").defer("letterhead", "account__lines").order_by("pk"))
    notes = list(CreditNote.objects.defer("letterhead").order_by("pk"))
    paid_on = {one.account_key for one in sales.values() if one.account_key}
    own, quoted = Currency.of(shop), earned_by_quotes(invoices, notes, paid_on)
    told = [one for story in histories(pieces, costs, sales.values(), changes, events) for one in story.told()]
    entries = [
        *of_sales(sales.values(), pieces),
        *of_changes(changes, sales, pieces),
        *of_expenses(expenses, sales, pieces),
        *of_fairs(fairs.values(), hours, own),
        *of_invoices(invoices, notes, paid_on),
        *(entry for one in quoted for entry in one.entries()),
        *of_work_after(shop),
        *(one for one in told if isinstance(one, Entry)),
    ]
    moves = [one for one in told if isinstance(one, Move)]
    ended = {one.sale_id for one in changes if one.kind != SaleChange.Kind.REDUCED}
    return Ledger(entries, moves, pieces, sales, fairs, channels, own, set(sales) - ended, quoted, begins)
