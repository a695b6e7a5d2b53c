"""Where the cost of every finished piece lay, day by day: in stock, with what was sold, given away or written off.

A cost lies with the first sale of its piece that has not ended, so that of two sales that clash it is counted once;
with the gift or the loss while there is no sale, its own or that of the piece it went out in the place of; else in
stock. What is written down later falls where the piece is by
then.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from shopapp.listings.models import Piece, PieceCost, PieceEvent, Sale, SaleChange

from .entry import Currency, Entry
from .lines import COST

Where = Piece.Where
STOCK = "stock"
_ENDS = set(SaleChange.Kind) - {SaleChange.Kind.REDUCED}
_AWAY = {Where.GIVEN: "given", Where.GONE: "gone"}
# On its way or sold says nothing of whether it is a gift: the gift before it, or the sale, does.
_SAYS_NOTHING = (Where.SENT, Where.SOLD)
# Of what happened on one day, this comes first.
_COSTS, _SOLD, _ENDED, _MOVED = range(4)


@dataclass(frozen=True)
class Lies:
    """Where a piece's cost lies: ``with_`` "stock", "sold", "given", "gone" or "again", and by which row."""

    with_: str
    source: str = ""
    sale: int | None = None


IN_STOCK = Lies(STOCK)


@dataclass(frozen=True)
class Move:
    """A piece went from one of these to another on a day."""

    piece: int
    on: date
    left: str
    came: str


@dataclass
class History:
    """One piece's: what happened, in order, and what it has cost so far by currency and kind."""

    piece: Piece
    happened: list[tuple[date, int, int, object]] = field(default_factory=list)
    sales: dict[int, Sale] = field(default_factory=dict)
    away: Lies | None = None
    lies: Lies = IN_STOCK
    cost: dict[tuple[Currency, str], list] = field(default_factory=lambda: defaultdict(lambda: [Decimal(0), 0]))

    def told(self) -> Iterator[Entry | Move]:
        yield Move(self.piece.pk, self.piece.made_on, "", STOCK)
        for on, what, _, row in sorted(self.happened, key=lambda one: one[:3]):
            if what == _COSTS:
                yield from self._costs(row)
                continue
            if what == _SOLD:
                self.sales[row.pk] = row
            elif what == _ENDED:
                self.sales.pop(row.sale_id, None)
            elif row.where not in _SAYS_NOTHING:
                self.away = _away(row)
            yield from self._goes(on)

    def _costs(self, row: PieceCost) -> Iterator[Entry]:
        key = (Currency.of(row), row.kind)
        self.cost[key][0] += row.amount
        self.cost[key][1] += row.minutes
        words = f"{self.piece}: {row.name.lower() if row.kind != PieceCost.Kind.WOOD else row.name}"
        source = f"cost {row.pk}"
        yield self._entry("made", row.on, key, row.amount, row.minutes, words, source)
        if self.lies != IN_STOCK:
            yield self._entry(self._line(self.lies, row.kind), row.on, key, row.amount, row.minutes, words, source)

    def _goes(self, on: date) -> Iterator[Entry | Move]:
        sale = next(iter(self.sales.values()), None)
        lies = Lies("sold", f"sale {sale.pk}", sale.pk) if sale else self.away or IN_STOCK
        before, self.lies = self.lies, lies
        if before == lies:
            return
        if before.with_ != lies.with_:
            yield Move(self.piece.pk, on, before.with_, lies.with_)
        for key, (amount, minutes) in self.cost.items():
            if not (amount or minutes):
                continue
            if before != IN_STOCK:
                words = f"{self.piece} is not {_said(before)} any more"
                yield self._entry(
                    self._line(before, key[1]), on, key, -amount, -minutes, words, before.source, before
                )  # fmt: skip
            if lies != IN_STOCK:
                words = f"{self.piece}, {_said(lies)}"
                yield self._entry(self._line(lies, key[1]), on, key, amount, minutes, words, lies.source)

    def _line(self, lies: Lies, kind: str) -> str:
        return f"{COST}{kind}" if lies.with_ == "sold" else lies.with_

    def _entry(
        self, line: str, on: date, key: tuple[Currency, str], amount: Decimal, minutes: int, words: str, source: str,
        lies: Lies | None = None,
    ) -> Entry:  # fmt: skip
        currency, kind = key
        return Entry(
            line=line, on=on, amount=amount, currency=currency, words=words, to=("listings:piece", self.piece.pk),
            source=source, part=kind, minutes=minutes, piece=self.piece.pk,
            sale=None if line == "made" else (lies or self.lies).sale,
        )  # fmt: skip


def _away(row: PieceEvent) -> Lies | None:
    if row.where not in _AWAY:
        return None
    return Lies("again" if row.instead_of_id is not None else _AWAY[row.where], f"event {row.pk}")


def _said(lies: Lies) -> str:
    words = {"sold": "sold", "given": "given away", "gone": "written off", "again": "gone out in another’s place"}
    return words[lies.with_]


def histories(
    pieces: Mapping[int, Piece],
    costs: Iterable[PieceCost],
    sales: Iterable[Sale],
    changes: Iterable[SaleChange],
    events: Sequence[PieceEvent],
) -> list[History]:
    """``events`` in the order they were written: none counts before the one written before it."""
    found = {pk: History(piece) for pk, piece in pieces.items()}
    by_pk = {sale.pk: sale for sale in sales}
    for row in costs:
        found[row.piece_id].happened.append((row.on, _COSTS, row.pk, row))
    for sale in by_pk.values():
        found[sale.piece_id].happened.append((sale.on, _SOLD, sale.pk, sale))
    for change in changes:
        if change.kind in _ENDS:
            sale = by_pk[change.sale_id]
            found[sale.piece_id].happened.append((max(change.on, sale.on), _ENDED, change.pk, change))
    latest: dict[int, date] = {}
    for event in events:
        on = latest[event.piece_id] = max(event.on, latest.get(event.piece_id, event.on))
        found[event.piece_id].happened.append((on, _MOVED, event.pk, event))
    return list(found.values())
