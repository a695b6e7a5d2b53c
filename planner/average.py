"""What consumables are worth: glue, abrasives and oil at the moving average of what they cost.

Goods that cannot be told apart are kept at a weighted average, worked out anew with every purchase (IAS 2 Inventories,
paragraphs 25 and 27); what is used takes its share of the worth with it. The last drop takes all that is left, so that
what came in is what went out, to the coin.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from planner.measures import round_half_up


@dataclass(frozen=True, slots=True)
class Held:
    """An ``amount`` in the unit it is kept in, and what it is ``worth``. Nothing held is worth nothing."""

    amount: Decimal = Decimal(0)
    worth: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if self.amount < 0 or self.worth < 0 or (self.worth and not self.amount):
            raise PlannerError("Less than nothing cannot be held, nor nothing at a worth.", mend="Count it again.")

    @property
    def average(self) -> Fraction:
        """What one unit is worth, exactly. Raises PlannerError while nothing is held."""
        if not self.amount:
            raise PlannerError("Nothing of it is held, so that it has no average cost.", mend="Buy some first.")
        return Fraction(self.worth) / Fraction(self.amount)


def bought(held: Held, amount: Decimal, cost: Decimal) -> Held:
    """After buying ``amount`` for ``cost`` in all.

    >>> bought(Held(Decimal(10), Decimal(80)), Decimal(10), Decimal(110)).average
    Fraction(19, 2)
    """
    if amount <= 0:
        raise PlannerError("Nothing was bought.", mend="Write how much it was.", field="amount")
    return Held(held.amount + amount, held.worth + cost)


def worth_of(held: Held, amount: Decimal, exponent: int) -> Decimal:
    """What ``amount`` of it takes with it when it is used, rounded to the coin (``exponent`` decimals). Raises
    PlannerError when less is held.

    >>> worth_of(Held(Decimal(20), Decimal(190)), Decimal(12), 2)
    Decimal('114.00')
    """
    if amount <= 0:
        raise PlannerError("Nothing was used.", mend="Write how much it was.", field="amount")
    if amount > held.amount:
        raise PlannerError(
            f"Only {held.amount.normalize():f} is held.", mend="Use less, or count what is there first.", field="amount"
        )
    if amount == held.amount:
        return held.worth
    return min(held.worth, round_half_up(held.average * Fraction(amount), exponent))


def used(held: Held, amount: Decimal, exponent: int) -> Held:
    """After using ``amount``; see ``worth_of``."""
    return Held(held.amount - amount, held.worth - worth_of(held, amount, exponent))


def counted(held: Held, amount: Decimal, exponent: int) -> Held:
    """After ``amount`` was counted: what lacks goes at the average, what is over comes at it (at nothing where none
    was held, for nobody knows what it cost).

    >>> counted(Held(Decimal(4), Decimal("10.00")), Decimal(5), 2)
    Held(amount=Decimal('5'), worth=Decimal('12.50'))
    """
    more = amount - held.amount
    if more < 0:
        return used(held, -more, exponent)
    over = round_half_up(held.average * Fraction(more), exponent) if held.amount else Decimal(0)
    return Held(amount, held.worth + over)
