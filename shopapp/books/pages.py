"""Which tables each page of the books shows, and which of them goes by which name as a file."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from shopapp.common.numbers import whole_number
from shopapp.lumber.looks import woods_seen
from shopapp.workshop.models import Workshop

from . import charts, earned, listed, paid, statement
from .entries import Currency, Ledger, ledger
from .estimates import estimates, opened, taken
from .period import Period, a_day
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
        return ledger(self.shop, self.period.begins)

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
    found = [
        one for currency in currencies(read.book) for one in earned.earned_tables(read.book, read.period, currency)
    ]
    # A currency nothing was sold in has one row in each table, and only the shop's own is shown all the same.
    return [table for table in found if len(table.rows) > 1 or table.currency == read.own]


def _wood(read: Read) -> Tables:
    return [
        *rack.rack_tables(read.moves, wood_names(), read.period, read.own, read.shop.counts_wood),
        rack.shelf_table(list(shelf_moves()), read.period, read.own),
    ]


def _plans(read: Read) -> Tables:
    return estimates(read.book, read.moves, read.period, read.shop.counts_wood)


def _money(read: Read) -> Tables:
    rows, labels, period = paid.paid_rows(read.book), paid.labels_of_accounts(), read.period
    found = sorted({row.currency for row in rows} - {read.own})
    return [
        table
        for currency in (read.own, *found)
        for table in (
            paid.money_table(rows, period, currency, read.today),
            paid.how_table(rows, period, currency),
            paid.open_table(rows, labels, period, currency),
        )
    ]


PARTS: Mapping[str, Part] = {
    "earned": Part(
        "What an hour earned", "What an hour earned", ("design", "wood", "channel"), _earned,
        "What is left of what came in when all is paid but your hours, by the hour. Hours count that are in what was "
        "sold, in what was lost, and those stood at fairs; hours in gifts and in stock do not.",
    ),
    "wood": Part(
        "Wood and supplies", "What became of the wood", ("wood-amount", "wood-worth", "shelf"), _wood,
        "By the stock’s own book. What was taken for a job that is not finished has left the rack and is no finished "
        "piece yet: it stands with its job.",
    ),
    "plans": Part("Planned and actual", "What was planned, and what it took", ("plans",), _plans),
    "money": Part("Sold and paid", "What came in, and what is owed", ("money", "how", "open"), _money),
}  # fmt: skip
OF_YEAR = {"books": "lines", "months": "months", "pieces": "stock"}
GOES = "goes"


@dataclass(frozen=True)
class Asked:
    """What an address asks for besides: ``names`` by name, and the currency by its symbol ``symbol``."""

    names: Mapping[str, str]
    symbol: str = ""

    def number(self, name: str) -> int | None:
        return whole_number(self.names.get(name, ""), 15)

    def currency(self, read: Read, among: Iterable[Currency]) -> Currency | None:
        """The shop's own where none is named; None where nothing is written in it."""
        found = [read.own, *among]
        return next((one for one in found if self.symbol in ("", one.currency_symbol)), None)


def _rows_earned(read: Read, what: str, asked: Asked) -> Table | None:
    currency, by = asked.currency(read, currencies(read.book)), asked.names.get("by", "")
    return currency and earned.opened(read.book, read.period, currency, what, by, asked.names.get("of", ""))


def _rows_wood(read: Read, what: str, asked: Asked) -> Table | None:
    if rack.is_a_way(way := what.removeprefix(rack.SHELF)) and way != what:
        return rack.shelf_entries(list(shelf_moves()), way, asked.number("supply"), read.period, read.own)
    names, wood = wood_names(), asked.names.get("wood", "")
    if not rack.is_a_way(what) or (wood and wood not in names):
        return None
    return rack.entries_table(read.moves, names, what, wood, read.period, read.own, read.shop.counts_wood)


def _rows_plans(read: Read, what: str, asked: Asked) -> Table | None:
    found = taken(read.book, read.moves, read.period)
    currency = asked.currency(read, found)
    if currency is None:
        return None
    return opened(found.get(currency, ()), what, asked.number("job"), read.period, currency, read.shop.counts_wood)


def _rows_money(read: Read, what: str, asked: Asked) -> Table | None:
    rows = paid.paid_rows(read.book)
    currency = asked.currency(read, sorted({row.currency for row in rows}))
    if currency is None or what not in paid.NAMES:
        return None
    if what in (paid.OWED, paid.ADVANCE):
        return paid.standing_table(rows, what, read.period, currency, asked.names.get("account", ""))
    return paid.entries_table(rows, what, read.period, currency, asked.names.get("how", ""))


def _rows_pieces(read: Read, what: str, asked: Asked) -> Table | None:
    return listed.moves_table(read.book, what, read.period)


def _rows_stock(read: Read, what: str, asked: Asked) -> Table | None:
    currency = asked.currency(read, currencies(read.book))
    day = a_day(asked.names.get("on", ""), read.period.last)
    if currency is None or what != "cost":
        return None
    return listed.cost_table(read.book, day, currency, asked.number("piece"))


# What lists the rows behind the figures of a page, by the name of what is asked for; None where there is no such list.
LISTS: Mapping[str, Callable[[Read, str, Asked], Table | None]] = {
    "earned": _rows_earned, "wood": _rows_wood, "plans": _rows_plans, "money": _rows_money, "pieces": _rows_pieces,
    "stock": _rows_stock,
}  # fmt: skip


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
