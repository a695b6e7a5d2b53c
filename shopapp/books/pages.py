"""Which tables each page of the books shows, and which of them goes by which name as a file."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from shopapp.lumber.looks import woods_seen
from shopapp.workshop.models import Workshop

from . import charts, paid, statement
from .earned import earned_tables
from .entries import Currency, Ledger, ledger
from .estimates import estimates
from .period import Period
from .rack import tables as rack
from .rack.moves import RackMove, rack_moves, shelf_moves
from .sums import currencies
from .tables import Table

Tables = list[Table]


@dataclass
class Read:
    """What is read of the ledgers, once for a page, by whoever of it needs it first."""

    shop: Workshop
    period: Period
    today: date

    @cached_property
    def book(self) -> Ledger:
        """As many queries as ``ledger``."""
        return ledger(self.shop)

    @cached_property
    def moves(self) -> list[RackMove]:
        """One query."""
        return list(rack_moves())

    @property
    def own(self) -> Currency:
        return Currency.of(self.shop)


@dataclass(frozen=True)
class Part:
    """A page of the year beside the year itself: its tables in their order, each key among ``keys``."""

    title: str
    heading: str
    keys: tuple[str, ...]
    tables: Callable[[Read], Tables]
    words: str = ""


def _earned(read: Read) -> Tables:
    found = [one for currency in currencies(read.book) for one in earned_tables(read.book, read.period, currency)]
    # A currency nothing was sold in has one row in each table, and only the shop's own is shown all the same.
    return [table for table in found if len(table.rows) > 1 or table.currency == read.own]


def _wood(read: Read) -> Tables:
    return [
        *rack.rack_tables(read.moves, wood_names(), read.period, read.own),
        rack.shelf_table(list(shelf_moves()), read.period, read.own),
    ]


def _plans(read: Read) -> Tables:
    return estimates(read.book, read.moves, read.period)


def _money(read: Read) -> Tables:
    rows, labels, period = paid.paid_rows(read.book), paid.labels_of_accounts(), read.period
    found = sorted({row.currency for row in rows} - {read.own})
    return [
        table
        for currency in (read.own, *found)
        for table in (
            paid.money_table(rows, period, currency, read.today),
            paid.how_table(rows, period, currency),
            paid.open_table(rows, labels, period.last, currency),
        )
    ]


PARTS: Mapping[str, Part] = {
    "earned": Part(
        "What an hour earned", "What an hour earned", ("design", "wood", "channel"), _earned,
        "What is left of what came in when all is paid but your hours, by the hour. Hours count that are in what was "
        "sold, in what was lost, and those stood at fairs; hours in gifts and in stock do not.",
    ),
    "wood": Part(
        "Wood and supplies", "What became of the wood", ("wood-feet", "wood-worth", "shelf"), _wood,
        "By the stock’s own book. What was taken for a job that is not finished has left the rack and is no finished "
        "piece yet: it stands with its job.",
    ),
    "plans": Part("Planned and actual", "What was planned, and what it took", ("plans",), _plans),
    "money": Part("Sold and paid", "What came in, and what is owed", ("money", "how", "open"), _money),
}  # fmt: skip
OF_YEAR = {"books": "lines", "months": "months", "pieces": "stock"}
GOES = "goes"


def wood_names() -> dict[str, str]:
    """One query."""
    return {key: wood.name for key, wood in woods_seen().items()}


def tables_called(key: str, read: Read) -> Tables | None:
    """The tables of a name, one for each currency; None where no table is called so."""
    for part in PARTS.values():
        if key in part.keys:
            return [table for table in part.tables(read) if table.key == key]
    if key not in OF_YEAR and key != GOES:
        return None
    found = statement.statements(read.book, read.period, read.today)
    if key == GOES:
        return [charts.goes(one) for one in found]
    return [table for one in found if (table := getattr(one, OF_YEAR[key])) is not None]
