"""The year's page, and a month's: what came of it, what it cost, what is left; month by month; and the stock."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from .addresses import entries_at, rows_at, stock_on
from .entries import Currency, Ledger, lines_in_order
from .entries.lines import GROUPS, INCOME, LOST, MAKING, MATERIALS, OF_MATERIALS, SELLING, STOCK
from .entries.pieces import Move
from .period import Period
from .planning import hour_record, margin_record, profit_record
from .sums import Sums, added, currencies, of_period, stock_at
from .tables import COUNT, HOURS, MONEY, MONTHS, Cell, Head, Table

_PROFIT = (INCOME, MAKING, SELLING, LOST)
PROFIT = "profit"


@dataclass(frozen=True)
class Statement:
    """Everything one currency's part of the page shows; ``lines`` for a month, ``months`` for a year only."""

    period: Period
    currency: Currency
    sums: Sums
    lines: Table
    months: Table | None
    stock: Table
    hour: dict | None
    margin: dict | None
    profit: dict

    @property
    def profit_at(self) -> str:
        return entries_at(self.period, PROFIT, self.currency)

    @property
    def is_empty(self) -> bool:
        return not any(self.sums.by_line.values()) and not any(row.cells[2].value for row in self.stock.rows)


def statements(ledger: Ledger, period: Period, today: date) -> list[Statement]:
    """One for each currency anything is written in; the shop's own stands first, and always."""
    found = [_statement(ledger, period, currency, today) for currency in currencies(ledger)]
    return [one for at, one in enumerate(found) if at == 0 or not one.is_empty]


def _statement(ledger: Ledger, period: Period, currency: Currency, today: date) -> Statement:
    entries = of_period(ledger, period, currency)
    sums = added(entries)
    earned = sums.earned
    return Statement(
        period=period,
        currency=currency,
        sums=sums,
        lines=_lines(sums, period, currency),
        months=None if period.month else _months(ledger, period, currency, today),
        stock=_stock(ledger, sums, period, currency),
        hour=hour_record(earned, currency.currency_exponent),
        margin=margin_record(earned),
        profit=profit_record(earned),
    )


def _lines(sums: Sums, period: Period, currency: Currency) -> Table:
    heads = (Head("Line"), Head("Amount", MONEY), Head("Hours", HOURS))
    table = Table("lines", f"The books of {period.words}", heads, currency)
    for group in (*_PROFIT, STOCK):
        rows = [line for line in lines_in_order() if line.group == group and _shown(sums, line.key)]
        for line in rows:
            minutes = sums.minutes.get(line.key, 0)
            amount = -sums.of(line.key) if line.key == "back" else sums.of(line.key)
            to = entries_at(period, line.key, currency)
            table.add(line.name, Cell(amount, to), Cell(minutes or None, to))
        if group in _PROFIT:
            amount = sums.group(group)
            table.add(GROUPS[group], Cell(amount, entries_at(period, group, currency)), None, strong=True)
        if group == LOST:
            profit = Cell(sums.earned.profit, entries_at(period, PROFIT, currency), profit_record(sums.earned))
            table.add("Profit, your hours paid", profit, None, strong=True)
    return table


def _shown(sums: Sums, line: str) -> bool:
    """Lines everybody looks for stand there at nought, too."""
    return bool(sums.of(line) or sums.minutes.get(line)) or line in ("sold", "cost-wood", "cost-labour", "tax", "given")


def _months(ledger: Ledger, period: Period, currency: Currency, today: date) -> Table:
    """A month that has not begun stands there only where something is written of it already."""
    heads = (
        Head("Month", MONTHS), Head("Came in", MONEY), Head("Materials", MONEY), Head("Overhead", MONEY),
        Head("Your hours", MONEY), Head("Selling", MONEY), Head("Lost and mended", MONEY), Head("Profit", MONEY),
        Head("Given, at cost", MONEY), Head("Hours", HOURS), Head("In stock at its end", MONEY),
    )  # fmt: skip
    table = Table("months", f"{period.words}, month by month", heads, currency)
    until = max([today, *(one.on for one in of_period(ledger, period, currency))])
    for one in (*(month for month in period.months if month.first <= until), period):
        sums = added(of_period(ledger, one, currency))
        earned = sums.earned

        def cell(amount: Decimal, what: str, one: Period = one) -> Cell:
            return Cell(amount, entries_at(one, what, currency) if amount else "")

        whole = not one.month
        table.add(
            Cell("The year" if whole else one.short, "" if whole else one.address),
            cell(sums.group(INCOME), INCOME),
            cell(sum((sums.of(line) for line in OF_MATERIALS), Decimal(0)), MATERIALS),
            cell(sums.of("cost-overhead"), "cost-overhead"),
            cell(sums.of("cost-labour"), "cost-labour"),
            cell(sums.group(SELLING), SELLING),
            cell(sums.group(LOST), LOST),
            cell(earned.profit, PROFIT),
            cell(sums.of("given"), "given"),
            Cell(earned.minutes, entries_at(one, PROFIT, currency) if earned.minutes else ""),
            Cell(in_stock := stock_at(ledger, one.last, currency), stock_on(one.last) if in_stock else ""),
            strong=whole,
        )
    return table


def _stock(ledger: Ledger, sums: Sums, period: Period, currency: Currency) -> Table:
    """Finished pieces at cost: what there was, what came, what left, what there is."""
    heads = (Head("Finished pieces"), Head("Pieces", COUNT), Head("At cost", MONEY))
    table = Table("stock", f"Finished pieces in stock, {period.words}", heads, currency)
    counts = _counts(ledger, period)
    opening, closing = (stock_at(ledger, day, currency) for day in (period.before, period.last))
    sold = sum((amount for line, amount in sums.by_line.items() if line.startswith("cost-")), Decimal(0))

    def counted(what: str, sign: int = -1) -> Cell:
        return Cell(sign * counts[what], rows_at(period, "pieces", what) if counts[what] else "")

    def on(day: date, value: object) -> Cell:
        return Cell(value, stock_on(day) if value else "")

    table.add(f"In stock when {period.words} began", on(period.before, counts["opening"]), on(period.before, opening))
    table.add("Made", counted("made", 1), Cell(sums.of("made"), entries_at(period, "made", currency)))
    table.add("Sold", counted("sold"), Cell(-sold, entries_at(period, MAKING, currency)))
    table.add("Given away", counted("given"), Cell(-sums.of("given"), entries_at(period, "given", currency)))
    if counts["again"] or sums.of("again"):
        again = Cell(-sums.of("again"), entries_at(period, "again", currency))
        table.add("Gone out in another’s place", counted("again"), again)
    table.add("Written off", counted("gone"), Cell(-sums.of("gone"), entries_at(period, "gone", currency)))
    table.add(
        f"In stock when {period.words} ended", on(period.last, counts["closing"]), on(period.last, closing), strong=True
    )
    return table


def _counts(ledger: Ledger, period: Period) -> Counter:
    """Pieces, whatever currency they were costed in."""
    counts: Counter = Counter()
    for move in ledger.moves:
        if move.on <= period.before:
            counts["opening"] += into(move, "stock")
        elif move.on <= period.last:
            counts["made"] += not move.left
            for where in ("sold", "given", "gone", "again"):
                counts[where] += into(move, where)
        if move.on <= period.last:
            counts["closing"] += into(move, "stock")
    return counts


def into(move: Move, where: str) -> int:
    """Whether a piece came there by it, less whether it left."""
    return (move.came == where) - (move.left == where)


@dataclass(frozen=True)
class Warning:
    words: str
    to: str


def to_look_at(ledger: Ledger) -> Iterator[Warning]:
    """What makes the books say less than is so. No query."""
    ended = {sale.pk for sale in ledger.sales.values() if ledger.pieces[sale.piece_id].sale_id != sale.pk}
    for pk in sorted(ended & ledger.open_sales):
        piece = ledger.pieces[ledger.sales[pk].piece_id]
        yield Warning(f"{piece} was sold twice: both sales are counted until one gives way.", piece.get_absolute_url())
    costed = {one.piece for one in ledger.entries if one.line == "made"}
    for piece in ledger.pieces.values():
        if piece.pk not in costed:
            words = f"Of {piece} nothing is written of what it cost: it counts at nought."
            yield Warning(words, piece.get_absolute_url())
