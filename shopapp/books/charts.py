"""The drawings of a statement: months beside each other, where each unit of money went, and the stock."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from shopapp.common.templatetags.shop import money

from .addresses import entries_at
from .entries.lines import INCOME, LOST, MAKING, PAID, SELLING
from .planning import Drawn, Month, Told, months_drawn, shares_drawn
from .statement import PROFIT, Statement
from .tables import MONEY, Cell, Head, Table

# What a line of the books is drawn as.
_DRAWN = {
    "tax": "tax",
    "cost-wood": "wood",
    "cost-supplies": "supplies",
    "cost-other": "supplies",
    "cost-overhead": "overhead",
    "cost-labour": "labour",
    "stood": "labour",
    "spent-fee": "fee",
    "spent-carriage": "carriage",
    "gone": "reserve",
    "again": "reserve",
    "after": "reserve",
}
# What is alike stands together.
_ORDER = ("tax", "fee", "carriage", "wood", "supplies", "labour", "overhead", "packaging", "reserve")
STOCK = "Finished pieces in stock at each month’s end, at cost"


@dataclass(frozen=True)
class Drawings:
    """``shares`` is None where nothing was paid, or where something that was given back or undone weighs more than its
    like, so that it is no share of anything; its table says so all the same."""

    months: Drawn | None
    stock: Drawn | None
    shares: Drawn | None
    goes: Table


def of_statement(found: Statement, *, on_paper: bool = False) -> Drawings:
    """``on_paper``: each drawn for paper alone, as its wide one."""

    def says(amount: Decimal) -> str:
        return money(amount, found.currency)

    table = goes(found)
    drawn = [(row.cells[0].value, row.cells[1].value) for row in table.rows[:-1]]
    paid = table.rows[-1].cells[1].value
    shares = [Told(str(name), kind, amount) for (name, amount), kind in zip(drawn, _kinds(found), strict=True)]
    whole = paid > 0 and all(one.money >= 0 or one.kind == "loss" for one in shares)
    title = "Where the money went"
    return Drawings(
        months=_months(found, says, on_paper),
        stock=_stock(found, says, on_paper),
        shares=shares_drawn(paid, shares, says, title, "The buyers paid", on_paper) if whole else None,
        goes=table,
    )


def _lines(found: Statement) -> list[tuple[str, str, Decimal, str]]:
    """What went where: name, how it is drawn, amount, the line it is; those that are nought left out, profit last."""
    named = [("Tax", "tax", found.sums.of("tax"), "tax")]
    for row in found.sums.counted(-1):
        if row.group in (MAKING, SELLING, LOST):
            named.append((row.name, _DRAWN.get(row.key, "packaging"), found.sums.of(row.key), row.key))
    named.sort(key=lambda one: _ORDER.index(one[1]))
    profit = found.sums.earned.profit
    named.append(("Profit" if profit >= 0 else "Loss", "profit" if profit >= 0 else "loss", profit, PROFIT))
    return [one for one in named if one[2]]


def _kinds(found: Statement) -> list[str]:
    return [kind for _, kind, _, _ in _lines(found)]


def goes(found: Statement) -> Table:
    heads = (Head("Where it went"), Head("Amount", MONEY), Head("Of what was paid", "share"))
    table = Table("goes", "Where each unit of money went", heads, found.currency)
    paid = found.sums.group(INCOME) + found.sums.of("tax")
    for name, _, amount, line in _lines(found):
        to = entries_at(found.period, line, found.currency)
        table.add(name, Cell(amount, to), Cell(amount / paid if paid > 0 else None, to))
    to = entries_at(found.period, PAID, found.currency) if paid else ""
    table.add("The buyers paid, tax and all", Cell(paid, to), Cell(1 if paid > 0 else None, to), strong=True)
    return table


def _months(found: Statement, says, on_paper: bool) -> Drawn | None:
    if found.months is None:
        return None
    months = []
    for row in found.months.rows[:-1]:
        came, profit = row.cells[1].value, row.cells[7].value
        months.append(Month(str(row.cells[0].value), (came, came - profit)))
    title = "What came in and what it cost, month by month"
    return months_drawn(("Came in", "Every cost"), months, says, title, on_paper)


def _stock(found: Statement, says, on_paper: bool) -> Drawn | None:
    if found.months is None:
        return None
    months = [Month(str(row.cells[0].value), (row.cells[-1].value,)) for row in found.months.rows[:-1]]
    return months_drawn(("In stock",), months, says, STOCK, on_paper)
