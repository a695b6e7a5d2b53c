"""The one shape of every table of the books: shown on a page and written as a file from the same cells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from planner.measures import round_half_up
from shopapp.common import tables
from shopapp.common.templatetags.shop import hours, money, percent
from shopapp.common.woodmeasure import BOARD_FEET, WoodMeasure

from .entries import Currency

WORDS, MONEY, HOURS, WOOD, COUNT, SHARE, DAY, MONTHS = (
    "words",
    "money",
    "hours",
    "wood",
    "count",
    "share",
    "day",
    "month",
)
# Decimals in a file: of an hour, a hundredth of what is shared.
_PLACES = {HOURS: 4, SHARE: 2}
_NUMBERS = (MONEY, HOURS, WOOD, COUNT, SHARE)


@dataclass(frozen=True)
class Head:
    """``name`` is what the column is called in a file; what it is of where ``words`` alone do not say."""

    words: str
    kind: str = WORDS
    name: str = ""

    @property
    def is_number(self) -> bool:
        return self.kind in _NUMBERS


@dataclass(frozen=True)
class Cell:
    """``to`` is where what it sums up is listed; ``figure`` the record of how it was reached. None is not known. The
    value of wood is in board feet, and told ``in_wood``."""

    value: Decimal | Fraction | int | str | date | None
    to: str = ""
    figure: dict | None = None
    kind: str = WORDS
    currency: Currency | None = None
    in_wood: WoodMeasure = BOARD_FEET

    @property
    def is_number(self) -> bool:
        return self.kind in _NUMBERS

    @property
    def text(self) -> str:
        """As a page shows it; nothing where nothing is known."""
        value = self.value
        if value is None:
            return ""
        if self.kind == MONEY:
            return money(value, self.currency)
        if self.kind == DAY:
            return f"{value.day} {value:%b %Y}"
        if self.kind == SHARE:
            return percent(value)
        told = {WOOD: self.in_wood.bare, HOURS: hours}.get(self.kind, str)(value)
        return told.replace("-", "−") if self.is_number else told

    @property
    def hours(self) -> Fraction | None:
        return None if self.value is None else Fraction(int(str(self.value)), 60)


@dataclass(frozen=True)
class Row:
    cells: tuple[Cell, ...]
    strong: bool = False
    indent: bool = False


@dataclass
class Table:
    """``currency`` is that of its money, ``in_wood`` what its wood is told in. ``words`` say what it shows, which days
    and which rows."""

    key: str
    title: str
    heads: tuple[Head, ...]
    currency: Currency
    rows: list[Row] = field(default_factory=list)
    words: str = ""
    in_wood: WoodMeasure = BOARD_FEET

    def add(self, *cells: Cell | Decimal | Fraction | int | str | date | None, strong: bool = False) -> None:
        told = [cell if isinstance(cell, Cell) else Cell(cell) for cell in cells]
        typed = [
            # What is not known opens nothing.
            replace(
                cell,
                kind=head.kind,
                currency=self.currency,
                in_wood=self.in_wood,
                to=cell.to if cell.value is not None else "",
            )
            for cell, head in zip(told, self.heads, strict=True)
        ]
        self.rows.append(Row(tuple(typed), strong))

    @property
    def name(self) -> str:
        """Its title, with the currency of its money."""
        return f"{self.title}, in {self.currency.currency_symbol}" if self.has_money else self.title

    @property
    def has_money(self) -> bool:
        return any(head.kind == MONEY for head in self.heads)


def as_csv(found: Sequence[Table]) -> bytes:
    """Tables of one shape, one for each currency, as one file; each row says which currency its money is in."""
    heads = found[0].heads if found else ()
    return tables.table(
        [*(head.name or head.words.lower() for head in heads), *(["currency"] if found and found[0].has_money else [])],
        [cells for one in found for cells in _rows(one)],
    )


def _rows(one: Table) -> Iterable[list[tables.Cell]]:
    money = [one.currency.currency_symbol] if one.has_money else []
    for row in one.rows:
        yield [*(_plain(cell, one.currency) for cell in row.cells), *money]


def _plain(cell: Cell, currency: Currency) -> tables.Cell:
    value = cell.value
    if value is None or isinstance(value, (str, date)):
        return value
    if cell.kind == COUNT:
        return int(value)
    if cell.kind == MONEY:
        return round_half_up(Fraction(value), currency.currency_exponent)
    if cell.kind == HOURS:
        return round_half_up(cell.hours, _PLACES[HOURS])
    if cell.kind == SHARE:
        return round_half_up(Fraction(value) * 100, _PLACES[SHARE])
    return round_half_up(cell.in_wood.of(Fraction(value)), cell.in_wood.exact)
