"""The lines of the books, in the order they stand on a page, and what each counts for."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from shopapp.listings.models import Expense, PieceCost

from .entry import Entry

IN, OUT, BESIDE = 1, -1, 0


@dataclass(frozen=True)
class Line:
    """``counts`` is whether its amounts make the profit larger or smaller, or stand beside it; ``rule`` says which rows
    are summed and on which day they count."""

    key: str
    name: str
    counts: int
    group: str
    rule: str


_PARTS = {
    PieceCost.Kind.WOOD: "Wood",
    PieceCost.Kind.SUPPLIES: "Supplies and fittings",
    PieceCost.Kind.OTHER: "Other costs of making",
    PieceCost.Kind.OVERHEAD: "Overhead",
    PieceCost.Kind.LABOUR: "Hours",
}
_SPENT = {
    Expense.Kind.FEE: "Fees",
    Expense.Kind.CARRIAGE: "Carriage paid",
    Expense.Kind.STALL: "Stalls",
    Expense.Kind.TRAVEL: "Travel",
    Expense.Kind.PACKAGING: "Packaging",
    Expense.Kind.REPAIR: "Repairs paid for",
    Expense.Kind.OTHER: "Other costs of selling",
}
INCOME, MAKING, SELLING, LOST, STOCK = "income", "making", "selling", "lost", "stock"
GROUPS = {
    INCOME: "What came of it, without tax",
    MAKING: "What the sold pieces cost to make",
    SELLING: "What selling cost",
    LOST: "Written off, mended and put right",
    STOCK: "Beside the profit",
}
COST, SPENT = "cost-", "spent-"
# Of what pieces cost, all that is no hour and goes by no hour.
MATERIALS = "materials"
# What buyers paid: income and the tax asked with it.
PAID = "paid"
OF_MATERIALS = tuple(f"{COST}{kind}" for kind in ("wood", "supplies", "other"))

_LEAVES = ("given", "gone", "again")

_ALL = (
    Line("sold", "Sold", IN, INCOME,
         "every sale on its day: price and carriage that were asked, less the tax in them"),
    Line("back", "Given back", OUT, INCOME,
         "what was given back of a sale, on the day it was given back, less the tax in it"),
    Line("invoiced", "Repairs and things invoiced by hand", IN, INCOME,
         "invoices less credit notes, without tax, of what no sale of a piece names, on the day they are dated; a "
         "repair that came by a quote as it was agreed, on the day it is handed over"),
    *(
        Line(f"{COST}{kind}", name, OUT, MAKING,
             "what a piece cost to make, on the day it was sold; less than nought where it came back. What is known "
             "better after the sale counts on the day it was written down")
        for kind, name in _PARTS.items()
    ),
    *(
        Line(f"{SPENT}{kind}", name, OUT, SELLING,
             "expenses of this kind on their day, less those that were taken back")
        for kind, name in _SPENT.items()
    ),
    Line("stood", "Hours at fairs", OUT, SELLING,
         "minutes at a fair × what an hour there is set at, on their day"),
    Line("gone", "Written off, at cost", OUT, LOST,
         "what a piece cost to make, on the day it was written off; less than nought where it came back"),
    Line("again", "Made again for nothing, at cost", OUT, LOST,
         "what a piece cost to make that went out in the place of one damaged or lost, on the day it went; less than "
         "nought where it came back"),
    Line("after", "Repairs and complaints, at cost", OUT, LOST,
         "jobs that made no piece: wood at its worth and things used on the day they were taken, hours at the shop’s "
         "rates of today"),
    Line("given", "Given away, at cost", BESIDE, STOCK,
         "what a piece cost to make, on the day it was given away; a gift has no price"),
    Line("made", "Made, at cost", BESIDE, STOCK,
         "what finished pieces cost to make, on the day that was written down for"),
    Line("tax", "Tax asked", BESIDE, STOCK,
         "the tax in sales and in invoices by hand, less the tax in what was given back or credited"),
    Line("carriage", "Carriage asked", BESIDE, STOCK,
         "the carriage in sales, as the buyer paid it, tax and all; it is in what was sold"),
)  # fmt: skip
LINES = {line.key: line for line in _ALL}


def lines_in_order() -> tuple[Line, ...]:
    return _ALL


def leaves_stock(line: str) -> bool:
    """Whether a line holds what took the cost of pieces out of stock."""
    return line.startswith(COST) or line in _LEAVES


def stocks(entry: Entry) -> Decimal:
    """What an entry adds to the stock at cost; nought where it has nothing to do with it."""
    if entry.line == "made":
        return entry.amount
    return -entry.amount if leaves_stock(entry.line) else Decimal(0)
