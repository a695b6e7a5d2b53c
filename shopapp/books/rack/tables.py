"""The rack's and the shelf's balances of a year or a month, in what the shop counts wood in and in worth."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.urls import reverse

from shopapp.books.addresses import rows_at
from shopapp.books.entries import Currency
from shopapp.books.period import Period
from shopapp.books.tables import DAY, MONEY, WOOD, Cell, Head, Table
from shopapp.common.woodmeasure import WoodMeasure

from .moves import BOUGHT, OTHERWISE, USED, WASTED, WAYS, RackMove, ShelfMove

_COLUMNS = (BOUGHT, USED, WASTED, OTHERWISE)
_SHELF = (BOUGHT, USED, OTHERWISE)
_HEADS = {BOUGHT: "Bought", USED: "Used", WASTED: "Wasted", OTHERWISE: "Otherwise"}
OPENING, CLOSING = "opening", "closing"
_WITH_ENDS = (OPENING, *_COLUMNS, CLOSING)
_NAMES = {OPENING: "All there was before", **WAYS, CLOSING: "All until its end"}
SHELF = "shelf-"
ALL = "all"


def is_a_way(what: str) -> bool:
    return what in _NAMES


_WORDS = (
    "What there was, and what was bought, used and wasted, add up to what there is. Used is what was taken for a job, "
    "less what came back. Wasted was thrown away as waste. Otherwise: lost in cutting and planing on the rack, "
    "measured anew, or found so by a stocktake."
)


def rack_tables(
    moves: Sequence[RackMove], names: Mapping[str, str], period: Period, currency: Currency, in_wood: WoodMeasure
) -> tuple[Table, Table]:
    """The same balance twice: how much wood, and what it cost."""
    wood = _balance(moves, names, period, currency, WOOD, in_wood)
    worth = _balance(moves, names, period, currency, MONEY, in_wood)
    return wood, worth


def _balance(
    moves: Sequence[RackMove],
    names: Mapping[str, str],
    period: Period,
    currency: Currency,
    kind: str,
    in_wood: WoodMeasure,
) -> Table:
    heads = (
        Head("Wood"), Head(f"When {period.words} began", kind, "opening"),
        *(Head(_HEADS[way], kind) for way in _COLUMNS), Head(f"When {period.words} ended", kind, "closing"),
    )  # fmt: skip
    title = f"Wood in {in_wood.words}, {period.words}" if kind == WOOD else f"Wood at what it cost, {period.words}"
    key = "wood-amount" if kind == WOOD else "wood-worth"
    table = Table(key, title, heads, currency, words=_WORDS, in_wood=in_wood)
    nought = Fraction(0) if kind == WOOD else Decimal(0)
    sums: dict[str, dict[str, Fraction | Decimal]] = defaultdict(lambda: defaultdict(lambda: nought))
    for move in moves:
        amount = move.feet if kind == WOOD else move.worth
        if move.on <= period.last:
            for wood in (move.wood, ALL):
                sums[wood]["closing"] += amount
                sums[wood]["opening" if move.on < period.first else move.way] += amount
    woods = sorted((wood for wood in sums if wood != ALL), key=lambda wood: names.get(wood, wood))
    for wood in (*woods, ALL):
        row = sums[wood]
        table.add(
            "All woods" if wood == ALL else names.get(wood, wood),
            *(Cell(row[way], _listed(period, way, wood) if row[way] else "") for way in _WITH_ENDS),
            strong=wood == ALL,
        )
    return table


def _listed(period: Period, way: str, wood: str) -> str:
    return rows_at(period, "wood", way, wood="" if wood == ALL else wood)


def shelf_table(moves: Sequence[ShelfMove], period: Period, currency: Currency) -> Table:
    """Glue, abrasives, oil and the like, at the moving average of what they cost."""
    heads = (
        Head("Used up"), Head(f"When {period.words} began", MONEY, "opening"),
        *(Head(_HEADS[way], MONEY) for way in _SHELF), Head(f"When {period.words} ended", MONEY, "closing"),
        Head("Amount there", name="amount"),
    )  # fmt: skip
    table = Table("shelf", f"Glue, abrasives, oil, {period.words}", heads, currency)
    sums: dict[int, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    named: dict[int, tuple[str, str]] = {0: ("All of it", "")}
    for move in moves:
        named[move.supply] = (move.name, move.unit)
        if move.on > period.last:
            continue
        for supply in (move.supply, 0):
            sums[supply]["closing"] += move.worth
            sums[supply]["opening" if move.on < period.first else move.way] += move.worth
        sums[move.supply]["amount"] += move.amount
    order = sorted((one for one in sums if one), key=lambda one: named[one])
    for supply in (*order, 0):
        row, (name, unit) = sums[supply], named[supply]
        there = f"{row['amount'].normalize():f} {unit}" if supply else ""
        page = reverse("lumber:supply", args=[supply]) if supply else ""
        ways = (OPENING, *_SHELF, CLOSING)
        cells = (Cell(row[way], _on_shelf(period, way, supply) if row[way] else "") for way in ways)
        told = Cell(there, _on_shelf(period, CLOSING, supply) if row["amount"] else "")
        table.add(Cell(name, page), *cells, told, strong=not supply)
    return table


def _on_shelf(period: Period, way: str, supply: int) -> str:
    return rows_at(period, "wood", f"{SHELF}{way}", supply=supply or "")


def shelf_entries(
    moves: Sequence[ShelfMove], way: str, supply: int | None, period: Period, currency: Currency
) -> Table:
    """The entries behind a cell of the shelf's balance, of one thing where it is named."""
    heads = (
        Head("Day", DAY), Head("What happened", name="what"), Head("Used up"), Head("Amount"), Head("Worth", MONEY),
        Head("Entry"),
    )  # fmt: skip
    found = [one for one in moves if supply in (None, one.supply) and _meant(one.on, one.way, way, period)]
    of = f", {found[0].name}" if found and supply else ""
    table = Table("shelf-entries", f"On the shelf: {_NAMES[way].lower()}{of}, {period.words}", heads, currency)
    for move in sorted(found, key=lambda one: (one.on, one.entry)):
        name = Cell(move.name, reverse("lumber:supply", args=[move.supply]))
        amount = f"{move.amount.normalize():f} {move.unit}".replace("-", "−")
        table.add(move.on, move.words, name, amount, move.worth, f"entry {move.entry}")
    worth = sum((move.worth for move in found), Decimal(0))
    table.add(None, "In all", None, None, worth, None, strong=True)
    return table


def _meant(on: date, way: str, asked: str, period: Period) -> bool:
    """Whether a move is behind a cell: all before the period, all until its end, or its own way within it."""
    if asked in (OPENING, CLOSING):
        return on < period.first if asked == OPENING else on <= period.last
    return way == asked and period.holds(on)


def entries_table(
    moves: Sequence[RackMove],
    names: Mapping[str, str],
    way: str,
    wood: str,
    period: Period,
    currency: Currency,
    in_wood: WoodMeasure,
) -> Table:
    """The moves behind a cell."""
    heads = (
        Head("Day", DAY), Head("What happened", name="what"), Head("Piece"), Head("Wood"),
        Head(in_wood.words.capitalize(), WOOD), Head("Worth", MONEY), Head("Entry"),
    )  # fmt: skip
    of = f" of {names.get(wood, wood).lower()}" if wood else ""
    table = Table("rack-entries", f"{_NAMES[way]}{of}, {period.words}", heads, currency, in_wood=in_wood)
    for move in sorted(moves, key=lambda one: (one.on, one.entry)):
        if wood in ("", move.wood) and _meant(move.on, move.way, way, period):
            piece = Cell(move.mark, reverse("lumber:piece", args=[move.mark]))
            wood_name, source = names.get(move.wood, move.wood), f"entry {move.entry}"
            table.add(move.on, move.words, piece, wood_name, move.feet, move.worth, source)
    feet = sum((row.cells[4].value for row in table.rows), Fraction(0))
    worth = sum((row.cells[5].value for row in table.rows), Decimal(0))
    table.add(None, "In all", None, None, feet, worth, None, strong=True)
    return table
