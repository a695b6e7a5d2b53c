"""What a board costs when several are made at once: what is done once is shared among them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.measures import round_half_up
from planner.pricing.floors import wage
from planner.pricing.price import price_for
from planner.pricing.sale import NOUGHT, NoPrice, PricingError, Terms, settle


@dataclass(frozen=True, slots=True)
class Part:
    """What a part of the work costs, how much of that is labour, and in how many hours."""

    cost: Decimal
    labour: Decimal = NOUGHT
    hours: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class BatchRow:
    """One board of ``copies``: its cost, its price, what is left of it and what an hour earns; ``profit_all`` of all
    copies sold at that price. Without a price all of these are None and ``no_price`` says why."""

    copies: int
    cost: Decimal
    price: Decimal | None
    profit: Decimal | None
    profit_all: Decimal | None
    hour_earns: Decimal | None
    no_price: str = ""


def unit_cost(once: Decimal, each: Decimal, copies: int, exponent: int = 2) -> Decimal:
    """One board of ``copies``: once ÷ copies + each, rounded once.

    >>> [str(unit_cost(Decimal("70.50"), Decimal(200), n)) for n in (1, 2, 3, 5, 10)]
    ['270.50', '235.25', '223.50', '214.10', '207.05']
    """
    if copies < 1:
        raise PricingError("No board is made.", mend="Write how many copies.", field="copies")
    if once < 0 or each < 0:
        raise PricingError("A part costs less than nought.", mend="Write nought or more.", field="cost")
    return round_half_up(Fraction(once) / copies + Fraction(each), exponent)


def batch_table(once: Part, each: Part, copies: Iterable[int], terms: Terms) -> tuple[BatchRow, ...]:
    """A row for each number of ``copies``. ``once`` is paid and done once for all of them, ``each`` for every board.

    Raises PricingError for less than one copy and for conditions nothing can be worked out with.
    """
    return tuple(_row(once, each, n, terms) for n in copies)


def _row(once: Part, each: Part, copies: int, terms: Terms) -> BatchRow:
    cost = unit_cost(once.cost, each.cost, copies, terms.exponent)
    labour = unit_cost(once.labour, each.labour, copies, terms.exponent)
    try:
        price = price_for(cost, terms)
    except NoPrice as error:
        return BatchRow(copies, cost, None, None, None, None, str(error))
    profit = settle(price, cost, terms).profit
    earned = wage(price, cost - labour, once.hours / copies + each.hours, terms)
    return BatchRow(copies, cost, price, profit, profit * copies, earned)
