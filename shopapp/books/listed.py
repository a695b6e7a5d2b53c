"""The entries behind a sum, row by row, and the pieces in stock on a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from .entries import LINES, Currency, Entry, Ledger, Line, lines_in_order
from .entries.lines import BESIDE, GROUPS, IN, LOST, MAKING, MATERIALS, OF_MATERIALS, SELLING, stocks
from .period import Period
from .statement import PROFIT
from .sums import currencies, of_period
from .tables import COUNT, DAY, HOURS, MONEY, Cell, Head, Table

# Costs are listed as costs; what they take from the profit is their opposite.
_AS_COSTS = (MAKING, MATERIALS, SELLING, LOST)
_NAMES = {**GROUPS, MATERIALS: "Materials of the sold pieces"}


@dataclass(frozen=True)
class Listed:
    """What was asked for, in one currency: its entries by day, each with what it counts for in ``total``."""

    name: str
    rule: str
    period: Period
    currency: Currency
    rows: list[tuple[Entry, Line, Decimal]]

    @property
    def total(self) -> Decimal:
        return sum((amount for _, _, amount in self.rows), Decimal(0))

    @property
    def minutes(self) -> int:
        return sum(entry.minutes for entry, _, _ in self.rows)


def listed(ledger: Ledger, what: str, period: Period, currency: Currency) -> Listed | None:
    """None for a line or a group there is not."""
    lines = _lines(what)
    if not lines:
        return None
    rows = [
        (entry, LINES[entry.line], entry.amount * _counts(what, LINES[entry.line]))
        for entry in of_period(ledger, period, currency)
        if entry.line in lines
    ]
    rows.sort(key=lambda row: (row[0].on, row[0].source, row[1].key))
    if what in LINES:
        return Listed(LINES[what].name, LINES[what].rule, period, currency, rows)
    if what in _NAMES:
        return Listed(_NAMES[what], "its lines added up, what was given back taken off", period, currency, rows)
    return Listed("Profit", "what came in less every cost, your hours at what they are set at among them", period,
                  currency, rows)  # fmt: skip


def _lines(what: str) -> set[str]:
    if what == PROFIT:
        return {line.key for line in lines_in_order() if line.counts != BESIDE}
    if what == MATERIALS:
        return set(OF_MATERIALS)
    return {line.key for line in lines_in_order() if what in (line.key, line.group)}


def _counts(what: str, line: Line) -> int:
    if what in LINES:
        return 1
    return -line.counts if what in _AS_COSTS else line.counts or IN


def as_table(found: Listed) -> Table:
    heads = (
        Head("Day", DAY), Head("What", name="what"), Head("Line"), Head("Amount", MONEY), Head("Hours", HOURS),
        Head("Entry"),
    )  # fmt: skip
    table = Table("entries", f"{found.name}, {found.period.words}", heads, found.currency)
    for entry, line, amount in found.rows:
        table.add(entry.on, Cell(entry.words, entry.address), line.name, amount, entry.minutes or None,
                  Cell(entry.source, entry.row_address))  # fmt: skip
    return table


def pieces_in_stock(ledger: Ledger, day: date) -> list[Table]:
    """A table for each currency: the pieces that are in stock when ``day`` ends, with what is written of their cost."""
    here: dict[int, bool] = {}
    for move in sorted((one for one in ledger.moves if one.on <= day), key=lambda one: one.on):
        here[move.piece] = move.came == "stock"
    cost: dict[tuple[Currency, int], Decimal] = {}
    for entry in ledger.entries:
        if entry.on <= day and entry.piece is not None and (amount := stocks(entry)):
            key = (entry.currency, entry.piece)
            cost[key] = cost.get(key, Decimal(0)) + amount
    found = []
    for currency in currencies(ledger):
        heads = (Head("No.", COUNT, "number"), Head("Piece"), Head("Made", DAY), Head("At cost", MONEY))
        table = Table("stock", f"In stock when {day:%d %B %Y} ended".replace(" 0", " "), heads, currency)
        total = Decimal(0)
        for pk, is_here in sorted(here.items(), key=lambda one: ledger.pieces[one[0]].number):
            amount = cost.get((currency, pk))
            if is_here and (amount is not None or currency == ledger.shop):
                piece = ledger.pieces[pk]
                table.add(
                    piece.number, Cell(piece.title, piece.get_absolute_url()), piece.made_on, amount or Decimal(0)
                )  # fmt: skip
                total += amount or Decimal(0)
        if table.rows or currency == ledger.shop:
            table.add(None, "In all", None, total, strong=True)
            found.append(table)
    return found
