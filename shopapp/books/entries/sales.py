"""Entries of what was sold, what was given back of it, and what selling cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from fractions import Fraction

from planner.measures import round_half_up
from shopapp.books.planning import dealt
from shopapp.listings.models import Expense, Fair, FairHours, Piece, Sale, SaleChange

from .entry import Currency, Entry
from .lines import SPENT

_UNDONE = "not given back after all"


def of_sales(sales: Iterable[Sale], pieces: Mapping[int, Piece]) -> Iterator[Entry]:
    for sale in sales:
        piece = pieces[sale.piece_id]
        about = {
            "on": sale.on,
            "currency": Currency.of(sale),
            "to": ("listings:piece", piece.pk),
            "source": f"sale {sale.pk}",
            "piece": piece.pk,
            "sale": sale.pk,
        }
        through = f" through {sale.channel.name}" if sale.channel else ""
        through = f" at {sale.fair.name}" if sale.fair else through
        yield Entry(line="sold", amount=sale.net, words=f"{piece} sold{through}", **about)
        if sale.tax_sum:
            yield Entry(line="tax", amount=sale.tax_sum, words=f"Tax in the price of {piece}", **about)
        if sale.carriage:
            yield Entry(line="carriage", amount=sale.carriage, words=f"Carriage asked with {piece}", **about)


def of_changes(
    changes: Iterable[SaleChange], sales: Mapping[int, Sale], pieces: Mapping[int, Piece]
) -> Iterator[Entry]:
    for change in changes:
        sale = sales[change.sale_id]
        piece = pieces[sale.piece_id]
        about = {
            "on": change.on,
            "currency": Currency.of(sale),
            "words": f"{piece}: {_UNDONE if change.undoes_id else change.get_kind_display()}",
            "to": ("listings:piece", piece.pk),
            "source": f"change {change.pk}",
            "piece": piece.pk,
            "sale": sale.pk,
        }
        if change.back - change.back_tax:
            yield Entry(line="back", amount=change.back - change.back_tax, **about)
        if change.back_tax:
            yield Entry(line="tax", amount=-change.back_tax, **about)


def of_expenses(expenses: Iterable[Expense], sales: Mapping[int, Sale], pieces: Mapping[int, Piece]) -> Iterator[Entry]:
    for expense in expenses:
        sale = sales.get(expense.sale_id)
        piece = pieces.get(expense.piece_id or (sale.piece_id if sale else None))
        named = str(piece) if piece else expense.fair.name if expense.fair else ""
        of = f" of {named}" if named and named not in expense.words else ""
        yield Entry(
            line=f"{SPENT}{expense.kind}",
            on=expense.on,
            amount=expense.amount,
            currency=Currency.of(expense),
            words=f"{expense.words}{of}",
            to=_page(piece, expense.fair_id),
            source=f"expense {expense.pk}",
            piece=piece.pk if piece else None,
            sale=sale.pk if sale else None,
            fair=expense.fair_id,
            channel=expense.channel_id,
        )


def of_fairs(fairs: Iterable[Fair], hours: Iterable[FairHours], shop: Currency) -> Iterator[Entry]:
    """Hours somebody stood there, each on its day; those no day was written for on the last. A fair has no currency of
    its own: what an hour is set at is in the shop's. What all of them cost is shared over the days to the coin."""
    by_day: dict[int, dict[date, int]] = defaultdict(dict)
    for row in hours:
        # In the order they were written: of one day the newest counts.
        by_day[row.fair_id][row.on] = row.minutes
    for fair in fairs:
        days = by_day[fair.pk]
        days[fair.last] = days.get(fair.last, 0) + fair.minutes - sum(days.values())
        stood = [(on, minutes) for on, minutes in sorted(days.items()) if minutes]
        cost = round_half_up(Fraction(fair.minutes, 60) * Fraction(fair.hour), shop.currency_exponent)
        shares = dealt(cost, tuple(Fraction(minutes) for _, minutes in stood), shop.currency_exponent) if stood else ()
        for (on, minutes), amount in zip(stood, shares, strict=True):
            yield Entry(
                line="stood",
                on=on,
                amount=amount,
                currency=shop,
                words=f"Hours at {fair.name}",
                to=("listings:fair", fair.pk),
                source=f"fair {fair.pk}",
                part="labour",
                minutes=minutes,
                fair=fair.pk,
            )


def _page(piece: Piece | None, fair: int | None) -> tuple[str, int] | None:
    if piece is not None:
        return "listings:piece", piece.pk
    return ("listings:fair", fair) if fair else None
