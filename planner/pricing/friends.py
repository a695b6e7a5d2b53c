"""A friend's price and what it costs the maker; a gift and what it cost in cash and in hours."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure
from planner.measures import round_half_up
from planner.pricing.costlines import CASH, CostLine, cost_lines, hours_of, labour_of
from planner.pricing.floors import cash_floor, wage_at
from planner.pricing.sale import NOUGHT, PricingError, Terms, settle


@dataclass(frozen=True, slots=True)
class Friendly:
    """A ``price`` under the list price: what an hour earns at it, how much less is left than at the list price, what
    is left in all (``profit``, below nought for a loss), and the ``floor`` at which the hours are unpaid."""

    price: Decimal
    wage: Decimal | None
    loss_against_list: Decimal
    floor: Decimal
    below_floor: bool
    profit: Decimal


@dataclass(frozen=True, slots=True)
class Gift:
    """``cash`` is paid out, ``lines`` say for what; ``unpaid_hours`` would have been worth ``unpaid``."""

    cash: Decimal
    unpaid_hours: Fraction
    lines: tuple[CostLine, ...]
    unpaid: Decimal


def friendly(list_price: Decimal, discount: Fraction, cost: Figure, terms: Terms, hours: Fraction) -> Friendly:
    """``discount`` (a share, nought to one) off the list price, rounded once to the coin. ``cost`` and ``hours`` are
    those of one board. Raises PricingError, and NoPrice where fees leave no floor."""
    if not 0 <= discount <= 1:
        raise PricingError("A discount is a share of the price.", mend="Write from 0 to 100 %.", field="discount")
    price = round_half_up(Fraction(list_price) * (1 - discount), terms.exponent)
    whole = sum((line.money for line in cost_lines(cost)), NOUGHT)
    at_list, at_price = (settle(asked, whole, terms).profit for asked in (list_price, price))
    floor = cash_floor(cost, terms)
    return Friendly(price, wage_at(price, cost, terms, hours), at_list - at_price, floor, price < floor, at_price)


def gift(cost: Figure, carriage: Decimal = NOUGHT) -> Gift:
    """What giving a board away costs in cash: materials, supplies, hardware, packaging, and ``carriage`` to the
    carrier. Its hours are told beside it, unpaid; overhead, reserve, fees and margin are no cash of this board."""
    lines = [line for line in cost_lines(cost) if line.kind in CASH]
    if carriage < 0:
        raise PricingError("The carriage is less than nought.", mend="Write nought or more.", field="carriage_paid")
    if carriage:
        lines.append(CostLine("Carriage", "carriage", carriage))
    cash = sum((line.money for line in lines), NOUGHT)
    return Gift(cash, hours_of(cost), tuple(lines), labour_of(cost))
