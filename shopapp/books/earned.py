"""What an hour earned, by design, by wood and by channel: every entry that makes the profit, dealt out to the coin, so
that the rows of each table add up to the profit of the year."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.urls import reverse

from shopapp.listings.models import Piece
from shopapp.listings.pieces.facts import facts

from .addresses import rows_at
from .entries import Currency, Entry, Ledger
from .entries.lines import BESIDE, LINES, OUT
from .entries.lines import INCOME as IN_COME
from .period import Period
from .planning import dealt, hour_record, profit_record
from .sums import Sums, added, of_period
from .tables import COUNT, DAY, HOURS, MONEY, SHARE, Cell, Head, Table

BY = {"design": "By design", "wood": "By wood", "channel": "By channel"}
WORDS = {
    "design": "What is of no one piece, such as a repair, has a row of its own. What a fair cost is shared over the "
    "pieces that were sold at it and not taken back, by their prices.",
    "wood": "Of a piece of several woods each wood has its share of the face, and so much of what the piece brought, "
    "cost and took in hours: half the face, half of all of it. That says which woods go with hours that pay, and not "
    "what one wood would have earned alone.",
    "channel": "A piece counts where it was sold, one made again for nothing where the piece before it was. What was "
    "written off was sold nowhere.",
}
INCOME, COSTS, PROFIT, SOLD = "income", "costs", "profit", "sold"
_WHAT = {INCOME: "Came in", COSTS: "Costs but hours", PROFIT: "Profit", SOLD: "Pieces sold"}
_LABOUR = "labour"
_NONE = "Of no one piece"
_UNTOLD = "Woods not written down"


@dataclass(frozen=True)
class Dealing:
    """Who shares an entry, and by what: names with their weights."""

    names: tuple[str, ...]
    weights: tuple[Fraction, ...]


Share = Callable[[Entry], Dealing]


def earned_tables(ledger: Ledger, period: Period, currency: Currency) -> list[Table]:
    """One for each of ``BY``."""
    entries = [one for one in of_period(ledger, period, currency) if LINES[one.line].counts != BESIDE]
    sharing = _Sharing(ledger)
    return [_table(by, entries, getattr(sharing, by), sharing, period, currency) for by in BY]


def _table(
    by: str, entries: Sequence[Entry], share: Share, sharing: _Sharing, period: Period, currency: Currency
) -> Table:  # fmt: skip
    dealt_out = _dealt_out(entries, share)
    pieces = {name: {one.piece for one in ones if one.line == "sold"} for name, ones in dealt_out.items()}
    heads = (
        Head(BY[by].removeprefix("By ").capitalize()), Head("Pieces sold", COUNT), Head("Came in", MONEY),
        Head("Costs but hours", MONEY), Head("Hours", HOURS), Head("An hour earned", MONEY), Head("Profit", MONEY),
        Head("Of what came in", SHARE),
    )  # fmt: skip
    table = Table(by, f"{BY[by]}, {period.words}", heads, currency, words=WORDS[by])
    sums = {name: added(ones) for name, ones in dealt_out.items()}
    for name in sorted(sums, key=lambda one: (one in (_NONE, _UNTOLD), -sums[one].earned.profit, one)):
        _add(table, name, len(pieces[name]), sums[name], sharing.address(by, name), _Opens(by, period, currency, name))
    sold = {entry.piece for entry in entries if entry.line == "sold"}
    _add(table, "All of it", len(sold), added(entries), "", _Opens(by, period, currency), strong=True)
    return table


@dataclass(frozen=True)
class _Opens:
    """Where the figures of a row are listed."""

    by: str
    period: Period
    currency: Currency
    name: str = ""

    def cell(self, value: object, what: str, figure: dict | None = None) -> Cell:
        by = self.by if self.name else ""
        return Cell(value, rows_at(self.period, "earned", what, self.currency, by=by, of=self.name) if value else "",
                    figure)  # fmt: skip


def _add(table: Table, name: str, pieces: int, sums: Sums, to: str, opens: _Opens, strong: bool = False) -> None:
    earned, exponent = sums.earned, table.currency.currency_exponent
    table.add(
        Cell(name, to), opens.cell(pieces, SOLD), opens.cell(earned.income, INCOME), opens.cell(earned.costs, COSTS),
        opens.cell(earned.minutes, PROFIT), opens.cell(earned.hour(exponent), PROFIT, hour_record(earned, exponent)),
        opens.cell(earned.profit, PROFIT, profit_record(earned)), opens.cell(earned.margin, PROFIT), strong=strong,
    )  # fmt: skip


def _dealt_out(entries: Iterable[Entry], share: Share) -> dict[str, list[Entry]]:
    found: dict[str, list[Entry]] = defaultdict(list)
    for entry in entries:
        for name, part in _parts(entry, share(entry)):
            found[name].append(part)
    return found


def opened(ledger: Ledger, period: Period, currency: Currency, what: str, by: str, name: str) -> Table | None:
    """The entries behind a figure of these tables, each with as much of it as the row has; of all rows where none is
    named. None for a figure or a row there is not."""
    if what not in _WHAT or (by and by not in BY):
        return None
    entries = [one for one in of_period(ledger, period, currency) if LINES[one.line].counts != BESIDE]
    if by:
        entries = _dealt_out(entries, getattr(_Sharing(ledger), by)).get(name, [])
    heads = (
        Head("Day", DAY), Head("What", name="what"), Head("Line"), Head("Amount", MONEY), Head("Hours", HOURS),
        Head("Pieces", COUNT), Head("Entry"),
    )  # fmt: skip
    title = f"{_WHAT[what]}, {name or 'all of it'}, {period.words}"
    table, seen = Table("earned-entries", title, heads, currency), set()
    for entry in sorted(entries, key=lambda one: (one.on, one.source)):
        line = LINES[entry.line]
        amount = entry.amount * line.counts
        is_cost = line.counts == OUT and line.group != IN_COME
        if what == COSTS:
            amount = -amount
        if (
            (what == COSTS and not (is_cost and entry.part != _LABOUR))
            or (what == INCOME and line.group != IN_COME)
            or (what == SOLD and (entry.line != SOLD or entry.piece in seen))
        ):
            continue
        piece = int(entry.line == SOLD and entry.piece not in seen)
        seen.add(entry.piece if piece else None)
        table.add(entry.on, Cell(entry.words, entry.address), line.name, amount,
                  (entry.minutes or None) if is_cost else None, piece or None,
                  Cell(entry.source, entry.row_address))  # fmt: skip
    sums = [sum((row.cells[at].value or 0 for row in table.rows), Decimal(0)) for at in (3, 4, 5)]
    table.add(None, "In all", None, sums[0], int(sums[1]), int(sums[2]), None, strong=True)
    return table


def _parts(entry: Entry, dealing: Dealing) -> Iterable[tuple[str, Entry]]:
    if len(dealing.names) == 1:
        return [(dealing.names[0], entry)]
    amounts = dealt(entry.amount, dealing.weights, entry.currency.currency_exponent)
    minutes = dealt(Decimal(entry.minutes), dealing.weights, 0)
    return [
        (name, entry.with_share(amount, int(worked)))
        for name, amount, worked in zip(dealing.names, amounts, minutes, strict=True)
    ]


class _Sharing:
    """How an entry is shared out, by each of ``BY``. No query."""

    def __init__(self, ledger: Ledger) -> None:
        self.ledger = ledger
        # By piece the sale that has not ended, the first of two that clash.
        self.sold = {sale.piece_id: pk for pk, sale in reversed(ledger.sales.items()) if pk in ledger.open_sales}
        self.at_fair: dict[int, list[tuple[int, Fraction]]] = defaultdict(list)
        for sale in ledger.sales.values():
            if sale.fair_id is not None and sale.pk in ledger.open_sales:
                self.at_fair[sale.fair_id].append((sale.piece_id, Fraction(sale.price)))
        self.woods = {pk: _woods(piece) for pk, piece in ledger.pieces.items()}
        self.designs = {pk: _design(piece) for pk, piece in ledger.pieces.items()}
        self.drawn = {
            _design(piece): piece.job.plan.design_id for piece in ledger.pieces.values() if piece.job.plan
        }  # fmt: skip

    def design(self, entry: Entry) -> Dealing:
        return self._by_piece(entry, lambda pk: {self.designs[pk]: Fraction(1)})

    def wood(self, entry: Entry) -> Dealing:
        return self._by_piece(entry, lambda pk: self.woods[pk])

    def channel(self, entry: Entry) -> Dealing:
        return Dealing((self._channel(entry),), (Fraction(1),))

    def address(self, by: str, name: str) -> str:
        """Where a row's own page is, if it has one."""
        design = self.drawn.get(name) if by == "design" else None
        return reverse("designs:design", args=[design]) if design else ""

    def _by_piece(self, entry: Entry, of: Callable[[int], Mapping[str, Fraction]]) -> Dealing:
        if entry.piece is not None:
            sharing: Mapping[str, Fraction] = of(entry.piece)
        else:
            sharing = defaultdict(Fraction)
            for piece, price in self.at_fair.get(entry.fair, ()):
                for name, share in of(piece).items():
                    sharing[name] += share * price
        return Dealing(tuple(sharing), tuple(sharing.values())) if sharing else Dealing((_NONE,), (Fraction(1),))

    def _channel(self, entry: Entry) -> str:
        lost = self.ledger.pieces[entry.piece].instead_of_id if entry.line == "again" else None
        sale = self.ledger.sales.get(entry.sale or self.sold.get(lost))
        fair = self.ledger.fairs.get(entry.fair or (sale.fair_id if sale else None))
        channel = self.ledger.channels.get(entry.channel or (sale.channel_id if sale else None))
        if fair is not None:
            return fair.name
        if channel is not None:
            return channel.name
        if sale is None:
            return "Sold nowhere" if entry.line in ("gone", "again") else _NONE
        return "Commissions" if sale.account_key.startswith("quote ") else "Without a channel"


def _design(piece: Piece) -> str:
    return piece.job.plan.design.name if piece.job.plan else piece.job.label


def _woods(piece: Piece) -> dict[str, Fraction]:
    """Shares of the face that are known, by the woods' names; they need not be one in all."""
    known = {f"{wood.name[:1].upper()}{wood.name[1:]}": wood.share for wood in facts(piece).woods if wood.share}
    return known or {_UNTOLD: Fraction(1)}
