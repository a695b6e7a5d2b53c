"""What the maker wants of a price: a share of it (margin), a share of the cost (markup), or so much money.

Margin is profit ÷ price and markup is profit ÷ cost, the usual definitions; the price is net of tax. The two say the
same in two ways only where nothing but cost and profit is in the price. Beside fees they part, so that a settled sale
shows both (``Settlement.margin``, ``Settlement.markup``).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from math import ceil

from planner.measures import round_half_up
from planner.pricing.sale import NOUGHT, NoPrice, PricingError, Terms

KINDS = ("margin", "markup", "profit")


@dataclass(frozen=True, slots=True)
class Target:
    """``amount`` is a share for a "margin" or a "markup", money for a "profit"."""

    kind: str
    amount: Fraction


def margin_of_markup(markup: Fraction) -> Fraction:
    """The margin on the price that a markup on the cost makes, were there no fees: u ÷ (1 + u).

    >>> margin_of_markup(Fraction(2, 3))
    Fraction(2, 5)
    """
    if markup < 0:
        raise PricingError("The markup is less than nought.", mend="Write nought or more.", field="markup")
    return markup / (1 + markup)


def markup_of_margin(margin: Fraction) -> Fraction:
    """The markup on the cost that a margin on the price makes, were there no fees: m ÷ (1 − m). Raises NoPrice for a
    margin of all.

    >>> markup_of_margin(Fraction(2, 5))
    Fraction(2, 3)
    """
    if margin < 0:
        raise PricingError("The margin is less than nought.", mend="Write nought or more.", field="margin")
    if margin >= 1:
        raise NoPrice(
            "A margin of the whole price leaves nothing for the cost.", mend="Ask less than 100 %.", field="margin"
        )
    return margin / (1 - margin)


def terms_for(target: Target, cost: Decimal, terms: Terms) -> Terms:
    """``terms`` with what the maker wants in the place of their margin and profit.

    A markup is asked as money, ``amount`` × ``cost`` up to the next coin: a profit is a whole number of coins, so that
    it meets the one exactly when it meets the other.

    >>> terms_for(Target("markup", Fraction(2, 5)), Decimal(120), Terms()).profit
    Decimal('48.00')
    """
    if target.kind not in KINDS:
        raise PricingError(f"“{target.kind}” is no target.", mend=f"Choose one of {', '.join(KINDS)}.", field="target")
    if target.amount < 0:
        raise PricingError(f"The {target.kind} is less than nought.", mend="Write nought or more.", field=target.kind)
    if target.kind == "margin":
        return replace(terms, margin=target.amount, profit=NOUGHT)
    money = target.amount * Fraction(cost) if target.kind == "markup" else target.amount
    coins = ceil(money / terms.unit)
    return replace(terms, margin=Fraction(0), profit=round_half_up(coins * terms.unit, terms.exponent))
