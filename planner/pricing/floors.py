"""Below which price what is lost, and what an hour earns at any price."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure
from planner.measures import round_half_up
from planner.pricing.costlines import labour_of, money_of
from planner.pricing.price import price_for
from planner.pricing.sale import NOUGHT, Terms, check_terms, settled


def break_even(cost: Decimal, terms: Terms) -> Decimal:
    """The smallest price that loses nothing, whatever its ending. Raises as ``price_for``."""
    return price_for(cost, replace(terms, margin=Fraction(0), profit=NOUGHT, ending=None, ending_step=None))


def cash_floor(cost: Figure, terms: Terms) -> Decimal:
    """The smallest price at which the hours are unpaid and nothing else is lost: materials, supplies, hardware,
    packaging, carriage, overhead and the reserve are covered. Whatever its ending; raises as ``price_for``."""
    return break_even(money_of(cost) - labour_of(cost), terms)


def wage(price: Decimal, other_cost: Decimal, hours: Fraction, terms: Terms) -> Decimal | None:
    """What an hour earns at ``price``: (proceeds − carriage paid − every cost but labour) ÷ hours; None without hours.

    >>> wage(Decimal(120), Decimal(20), Fraction(5), Terms())
    Decimal('20.00')
    """
    check_terms(terms)
    if hours <= 0:
        return None
    proceeds = settled(price, other_cost, terms).proceeds
    left = Fraction(proceeds) - Fraction(terms.carriage_paid) - Fraction(other_cost)
    return round_half_up(left / hours, terms.exponent)


def wage_at(price: Decimal, cost: Figure, terms: Terms, hours: Fraction) -> Decimal | None:
    """What an hour earns at ``price``, of a cost line by line; ``hours`` are those of what the cost is of. None
    without hours; below nought where the price covers not even what is paid out."""
    return wage(price, money_of(cost) - labour_of(cost), hours, terms)
