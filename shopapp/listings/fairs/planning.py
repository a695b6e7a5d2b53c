"""The door to the planner for fairs: what one cost, shared over what sold there."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from planner.lotcost import shared
from planner.measures import round_half_up

_MINUTES = 60


def by_price(amount: Decimal, prices: Sequence[Decimal], exponent: int) -> tuple[Decimal, ...]:
    """``amount`` shared by price, to the coin: the shares add up to it. Nobody gets a share where nothing sold."""
    return shared(amount, [Fraction(price) for price in prices], exponent)


def of_hours(minutes: int, hour: Decimal, exponent: int) -> Decimal:
    """What so many minutes come to at ``hour`` each hour."""
    return round_half_up(Fraction(minutes) * Fraction(hour) / _MINUTES, exponent)


def an_hour(left: Decimal, minutes: int, exponent: int) -> Decimal | None:
    """What each hour of so many minutes earned; None where nobody stood there."""
    return round_half_up(Fraction(left) * _MINUTES / minutes, exponent) if minutes else None
