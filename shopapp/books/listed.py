"""The entries behind a sum, row by row, and the pieces in stock on a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from .addresses import rows_at
from .entries import LINES, Currency, Entry, Ledger, Line, lines_in_order
from .entries.lines import BESIDE, GROUPS, IN, INCOME, LOST, MAKING, MATERIALS, OF_MATERIALS, PAID, SELLING, stocks
from .period import Period
from .statement import PROFIT, into
from .sums import currencies, of_period
from .tables import COUNT, DAY, HOURS, MONEY, Cell, Head, Table

# Costs are listed as costs; what they take from the profit is their opposite.
_AS_COSTS = (MAKING, MATERIALS, SELLING, LOST)
_NAMES = {**GROUPS, MATERIALS: "Materials of the sold pieces", PAID: "What the buyers paid, tax and all"}


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
    if what == PAID:
        return {"tax", *(line.key for line in lines_in_order() if line.group == INCOME)}
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
    here = _here(ledger, day)
    cost: dict[tuple[Currency, int], Decimal] = {}
    for entry in ledger.entries:
        if entry.on <= day and entry.piece is not None and (amount := stocks(entry)):
            key = (entry.currency, entry.piece)
            cost[key] = cost.get(key, Decimal(0)) + amount
    found = []
    for currency in currencies(ledger):
        heads = (Head("No.", COUNT, "number"), Head("Piece"), Head("Made", DAY), Head("At cost", MONEY))
        table = Table("stock", f"In stock when {day:%d %B %Y} ended".replace(" 0", " "), heads, currency)
        total, period = Decimal(0), Period(ledger.begins.year_of(day))
        asked = {"on": day.isoformat()}
        for pk, is_here in sorted(here.items(), key=lambda one: ledger.pieces[one[0]].number):
            amount = cost.get((currency, pk))
            if is_here and (amount is not None or currency == ledger.shop):
                piece = ledger.pieces[pk]
                to = rows_at(period, "stock", "cost", currency, piece=pk, **asked) if amount else ""
                title = Cell(piece.title, piece.get_absolute_url())
                table.add(piece.number, title, piece.made_on, Cell(amount or Decimal(0), to))
                total += amount or Decimal(0)
        if table.rows or currency == ledger.shop:
            to = rows_at(period, "stock", "cost", currency, **asked) if total else ""
            table.add(None, "In all", None, Cell(total, to), strong=True)
            found.append(table)
    return found


def _here(ledger: Ledger, day: date) -> dict[int, bool]:
    """Of every piece made by then, whether it is in stock when ``day`` ends."""
    here: dict[int, bool] = {}
    for move in sorted((one for one in ledger.moves if one.on <= day), key=lambda one: one.on):
        here[move.piece] = move.came == "stock"
    return here


def cost_table(ledger: Ledger, day: date, currency: Currency, piece: int | None) -> Table:
    """What the pieces in stock when ``day`` ends cost by then, row by row; of one where it is named."""
    heads = (Head("Day", DAY), Head("What", name="what"), Head("At cost", MONEY), Head("Entry"))
    table = Table("stock-cost", f"Cost of what was in stock when {day:%d %B %Y} ended".replace(" 0", " "), heads,
                  currency)  # fmt: skip
    here = {pk for pk, is_here in _here(ledger, day).items() if is_here and piece in (None, pk)}
    for entry in sorted(ledger.entries, key=lambda one: (one.on, one.source)):
        if entry.piece in here and entry.on <= day and entry.currency == currency and (amount := stocks(entry)):
            table.add(entry.on, Cell(entry.words, entry.address), amount, entry.source)
    table.add(None, "In all", sum((row.cells[2].value for row in table.rows), Decimal(0)), None, strong=True)
    return table


_MOVED = {
    "made": "made", "sold": "sold", "given": "given away", "again": "gone out in another’s place",
    "gone": "written off",
}  # fmt: skip


def moves_table(ledger: Ledger, what: str, period: Period) -> Table | None:
    """The pieces that were made, or went one way or came back from it; None for a way there is not."""
    if what not in _MOVED:
        return None
    heads = (Head("Day", DAY), Head("What", name="what"), Head("Pieces", COUNT))
    table = Table("moved", f"Pieces {_MOVED[what]}, {period.words}", heads, ledger.shop)
    for move in sorted(ledger.moves, key=lambda one: (one.on, one.piece)):
        count = (not move.left) if what == "made" else into(move, what)
        if count and period.holds(move.on):
            piece = ledger.pieces[move.piece]
            words = f"{piece}{'' if count > 0 else ': not so any more'}"
            table.add(move.on, Cell(words, piece.get_absolute_url()), int(count))
    table.add(None, "In all", sum(row.cells[2].value for row in table.rows), strong=True)
    return table
