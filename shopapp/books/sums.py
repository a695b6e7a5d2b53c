"""Entries added up by line and month, in one currency; and what is in stock on a day."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from .entries import LINES, Currency, Entry, Ledger, lines_in_order
from .entries.lines import IN, OUT, Line, leaves_stock, stocks
from .period import Period
from .planning import Earned

_LABOUR = "labour"


@dataclass(frozen=True)
class Sums:
    """Of one currency over some entries: by line the amount and the minutes, and what of it are hours' worth."""

    by_line: dict[str, Decimal]
    minutes: dict[str, int]
    labour: dict[str, Decimal]

    def of(self, line: str) -> Decimal:
        return self.by_line.get(line, Decimal(0))

    def group(self, group: str) -> Decimal:
        """What a group's lines come to; in income what was given back is taken off."""
        lines = [line for line in lines_in_order() if line.group == group]
        first = lines[0].counts
        return sum((self.of(line.key) * line.counts * first for line in lines), Decimal(0))

    def counted(self, way: int) -> Iterable[Line]:
        return (line for line in lines_in_order() if line.counts == way)

    @property
    def earned(self) -> Earned:
        income = sum((self.of(line) for line in ("sold", "invoiced")), Decimal(0)) - self.of("back")
        out = [line.key for line in self.counted(OUT) if line.key != "back"]
        labour = sum((self.labour.get(line, Decimal(0)) for line in out), Decimal(0))
        costs = sum((self.of(line) for line in out), Decimal(0)) - labour
        return Earned(income, costs, labour, sum(self.minutes.get(line, 0) for line in out))

    @property
    def left_stock(self) -> Decimal:
        """What left the stock at cost."""
        return sum((amount for line, amount in self.by_line.items() if leaves_stock(line)), Decimal(0))


def added(entries: Iterable[Entry]) -> Sums:
    amounts: dict[str, Decimal] = defaultdict(Decimal)
    minutes: dict[str, int] = defaultdict(int)
    labour: dict[str, Decimal] = defaultdict(Decimal)
    for entry in entries:
        amounts[entry.line] += entry.amount
        minutes[entry.line] += entry.minutes
        if entry.part == _LABOUR:
            labour[entry.line] += entry.amount
    return Sums(dict(amounts), dict(minutes), dict(labour))


def of_period(ledger: Ledger, period: Period, currency: Currency) -> list[Entry]:
    months = [period] if period.month else period.months
    return [entry for one in months for entry in ledger.by_month.get((currency, one.year, one.month), ())]


def currencies(ledger: Ledger) -> list[Currency]:
    """The shop's own first, then every other that any row was written in."""
    others = {one.currency for one in ledger.entries} - {ledger.shop}
    return [ledger.shop, *sorted(others)]


def stock_at(ledger: Ledger, day: date, currency: Currency) -> Decimal:
    """What the pieces that are in stock when a day ends cost to make, as it was written down by then."""
    this = ledger.begins.month_of(day)
    before = sum(
        (amount for (money, *month), amount in ledger.stocked.items() if money == currency and tuple(month) < this),
        Decimal(0),
    )
    entries = ledger.by_month.get((currency, *this), ())
    return before + sum((stocks(entry) for entry in entries if entry.on <= day), Decimal(0))


def years(ledger: Ledger, today: date) -> list[int]:
    """Every year anything is written of, and this one; the newest first."""
    days = {one.on for one in ledger.entries} | {move.on for move in ledger.moves} | {today}
    return sorted({ledger.begins.year_of(on) for on in days}, reverse=True)


def sign_of(line: str) -> int:
    return {IN: 1, OUT: -1}.get(LINES[line].counts, 1)
