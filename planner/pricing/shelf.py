"""What glue, abrasives and finish cost by what stands on the shelf, in the place of a price written by hand.

Goods that cannot be told apart are kept at a moving average (``planner.average``); what a board uses of them costs that
average. Where several of a kind are there, it is the average of all of them together.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from planner.average import Held
from planner.measures import round_half_up
from planner.pricing.rates import Rates

# Which price a kind of supply sets, and what of that price's unit one of each unit it may be kept in is. Millilitres
# of glue and grams of oil are left out: their density is on no label.
_PRICES = {
    "glue": ("glue_per_kg", {"kg": Fraction(1), "g": Fraction(1, 1000)}),
    "abrasive": ("abrasive_price_each", {"piece": Fraction(1), "sheet": Fraction(1)}),
    "finish": ("finish_per_l", {"l": Fraction(1), "ml": Fraction(1, 1000)}),
}
# Decimals beyond the coin: a price a kilogram is spent by the gram.
_FINER = 2


@dataclass(frozen=True, slots=True)
class Shelved:
    """One supply: its ``kind`` ("glue", "abrasive", "finish" or another), the ``unit`` it is kept in, what is held."""

    kind: str
    unit: str
    held: Held


def rates_at_average(rates: Rates, shelf: Iterable[Shelved]) -> Rates:
    """``rates`` with the prices of what is on the shelf, two decimals finer than the coin; a kind of which nothing is
    held, or in no unit its price goes by, keeps the price that was written.

    >>> from planner.average import bought
    >>> glue = bought(bought(Held(), Decimal(1000), Decimal("10.00")), Decimal(1000), Decimal("13.00"))
    >>> found = rates_at_average(Rates(), [Shelved("glue", "g", glue)])
    >>> found.glue_per_kg, found.at_average
    (Decimal('11.5000'), ('glue_per_kg',))
    """
    amounts: dict[str, Fraction] = {}
    worths: dict[str, Fraction] = {}
    for one in shelf:
        field, units = _PRICES.get(one.kind, ("", {}))
        if one.unit not in units or not one.held.amount:
            continue
        amounts[field] = amounts.get(field, Fraction(0)) + Fraction(one.held.amount) * units[one.unit]
        worths[field] = worths.get(field, Fraction(0)) + Fraction(one.held.worth)
    prices: dict[str, Decimal] = {
        field: round_half_up(worths[field] / amount, rates.exponent + _FINER) for field, amount in amounts.items()
    }
    return replace(
        rates,
        glue_per_kg=prices.get("glue_per_kg", rates.glue_per_kg),
        abrasive_price_each=prices.get("abrasive_price_each", rates.abrasive_price_each),
        finish_per_l=prices.get("finish_per_l", rates.finish_per_l),
        at_average=tuple(sorted(prices)),
    )
