"""What many sales together left, and what an hour of them earned: as of one sale, over a year or a part of it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.lotcost import shared
from planner.measures import round_half_up
from planner.pricing.sale import PricingError

_MINUTES = 60


@dataclass(frozen=True, slots=True)
class Earned:
    """``income`` without tax, ``costs`` all but the maker's own hours, ``labour`` those hours at what they were set at,
    ``minutes`` of them. All of one currency; each may be below nought where something was given back."""

    income: Decimal
    costs: Decimal
    labour: Decimal
    minutes: int

    @property
    def left(self) -> Decimal:
        """What is left to pay the hours with: income − every cost but the hours."""
        return self.income - self.costs

    @property
    def profit(self) -> Decimal:
        """What is left when the hours are paid, too: income − every cost.

        >>> Earned(Decimal(500), Decimal(140), Decimal(300), 900).profit
        Decimal('60')
        """
        return self.left - self.labour

    def hour(self, exponent: int) -> Decimal | None:
        """What an hour earned: what is left for the hours ÷ hours, rounded once; None without hours.

        >>> Earned(Decimal(500), Decimal(140), Decimal(300), 900).hour(2)
        Decimal('24.00')
        """
        if self.minutes <= 0:
            return None
        return round_half_up(Fraction(self.left) * _MINUTES / self.minutes, exponent)

    @property
    def margin(self) -> Fraction | None:
        """Profit ÷ income, the share of what came in that is kept; None where nothing came in.

        >>> Earned(Decimal(500), Decimal(140), Decimal(300), 900).margin
        Fraction(3, 25)
        """
        return Fraction(self.profit) / Fraction(self.income) if self.income > 0 else None

    @property
    def markup(self) -> Fraction | None:
        """Profit ÷ every cost; None where nothing was spent."""
        spent = self.costs + self.labour
        return Fraction(self.profit) / Fraction(spent) if spent > 0 else None


def hour_figure(earned: Earned, exponent: int) -> Figure | None:
    """What an hour earned, opened to its terms; None without hours."""
    hour = earned.hour(exponent)
    if hour is None:
        return None
    left = Figure(
        earned.left,
        "money",
        "what came in − every cost but your hours",
        terms=(Term("What came in", _money(earned.income)), Term("Costs but hours", _money(earned.costs))),
    )
    hours = Figure(Fraction(earned.minutes, _MINUTES), "h", "the hours in what was sold and what was lost")
    return Figure(
        hour,
        "money",
        "what is left for your hours ÷ hours",
        terms=(Term("Left for your hours", left), Term("Hours", hours)),
    )


def profit_figure(earned: Earned) -> Figure:
    return Figure(
        earned.profit,
        "money",
        "what came in − every cost, your hours at what they are set at among them",
        terms=(
            Term("What came in", _money(earned.income)),
            Term("Costs but hours", _money(earned.costs)),
            Term("Your hours", _money(earned.labour)),
        ),
    )


def margin_figure(earned: Earned) -> Figure | None:
    margin = earned.margin
    if margin is None:
        return None
    terms = (Term("Profit", _money(earned.profit)), Term("What came in", _money(earned.income)))
    return Figure(margin, "share", "profit ÷ what came in", terms=terms)


def dealt(amount: Decimal, weights: tuple[Fraction, ...], exponent: int) -> tuple[Decimal, ...]:
    """``amount``, which may be below nought, shared by ``weights`` to the coin. Raises PricingError without weights.

    >>> [str(part) for part in dealt(Decimal("-1.00"), (Fraction(1), Fraction(2)), 2)]
    ['-0.33', '-0.67']
    """
    if not weights:
        raise PricingError("There is nothing to share it over.", mend="Name what shares it.")
    parts = shared(abs(amount), weights, exponent)
    return tuple(-part for part in parts) if amount < 0 else parts


def _money(amount: Decimal) -> Figure:
    return Figure(amount, "money", "the entries of its lines, added up")
