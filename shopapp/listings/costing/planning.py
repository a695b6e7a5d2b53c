"""The door to the planner for what pieces cost: what the lines of a job come to, and a line shared over its pieces."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.lotcost import shared
from planner.measures import round_half_up

_MINUTES = 60


def dealt(amount: Decimal, pieces: int, exponent: int) -> tuple[Decimal, ...]:
    """``amount`` shared alike over so many pieces, to the coin; the first get what is left over."""
    return shared(amount, [Fraction(1)] * pieces, exponent)


def dealt_minutes(minutes: int, pieces: int) -> tuple[int, ...]:
    return tuple(int(part) for part in dealt(Decimal(minutes), pieces, 0))


def planned_minutes(line: dict) -> int:
    """The whole minutes that a planned line of labour was reckoned from; none where it does not say."""
    figure = Figure.from_record(line)
    hours = next((term for term in figure.terms if term.name == "Hours"), None)
    return _minutes(hours) if hours else 0


def _minutes(hours: Term) -> int:
    value = hours.figure.value
    assert isinstance(value, (Fraction, int))
    return int(round_half_up(Fraction(value) * _MINUTES, 0))
