"""Which designs to make of what lies there: those that can be made first, what asks most for an hour before others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from planner.figures import Figure, Term
from planner.measures import round_half_up
from planner.shop import Shop
from planner.shorts.making import Made, make_from
from planner.shorts.shelf import Shelf
from planner.shorts.wanted import wanted_in


@dataclass(frozen=True, slots=True)
class Ranked:
    """A design by the caller's key: what the pieces give of it, and its price over its hours where it has a price."""

    key: int
    made: Made
    an_hour: Figure | None


def price_over_hours(figures: Mapping[str, Any], exponent: int = 2) -> Figure | None:
    """What one board of a kept record's ``figures`` asks for an hour of its making, or None without a price or hours.

    >>> figures = {"price": Figure(Decimal("180.00"), "money", "").as_record(),
    ...            "hours": Figure(Fraction(15, 2), "h", "").as_record()}
    >>> price_over_hours(figures).value
    Decimal('24.00')
    """
    hours_of_one = figures.get("hours_each", figures.get("hours"))
    if figures.get("price") is None or hours_of_one is None:
        return None
    price, hours = Figure.from_record(figures["price"]), Figure.from_record(hours_of_one)
    if not isinstance(price.value, Decimal) or not isinstance(hours.value, Fraction) or not hours.value:
        return None
    return Figure(
        round_half_up(Fraction(price.value) / hours.value, exponent),
        "money",
        "price of a board ÷ its hours",
        "",
        (Term("Price", price), Term("Hours of one board", hours)),
    )


def ranked(
    designs: Sequence[tuple[int, Mapping[str, Any]]], there: Mapping[str, Shelf], shop: Shop, exponent: int = 2
) -> tuple[Ranked, ...]:
    """The designs, (key, record) each, in the order to look at them: what can be made with its spares, what can be made
    without, what lacks least; among equals by price over hours, those without a price last. Each is taken by itself.
    """
    found = [
        Ranked(
            key,
            make_from(wanted_in(dict(record), shop), there, shop),
            price_over_hours(record.get("figures", {}), exponent),
        )
        for key, record in designs
    ]
    return tuple(sorted(found, key=_order))


def _order(one: Ranked) -> tuple[bool, bool, Fraction, bool, Fraction]:
    an_hour = one.an_hour.value if one.an_hour is not None else None
    asks = Fraction(an_hour) if isinstance(an_hour, Decimal) else Fraction(0)
    lacking = Fraction(0) if one.made.can_be_made else 1 - one.made.share
    return not one.made.can_be_made, not one.made.spared, lacking, an_hour is None, -asks
