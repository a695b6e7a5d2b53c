"""The door to the planner for what is left of a price through a channel, as a figure that opens."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from planner.errors import PlannerError
from planner.figures import Figure, Term
from shopapp.listings.models import Channel
from shopapp.listings.selling.planning import settled
from shopapp.workshop.models import Workshop

NOUGHT = Decimal(0)
_SETTINGS = "the workshop’s settings"


@dataclass(frozen=True)
class Settled:
    """``left`` is what stays of the price after tax, fees and what the piece cost, as a figure's record; ``share`` of
    the net price it is, None of a price of nothing. ``trouble`` says why nothing could be reckoned."""

    left: dict[str, Any] | None
    amount: Decimal
    share: Fraction | None
    trouble: str = ""


def left_of(
    price: Decimal, cost: Decimal, channel: Channel | None, shop: Workshop, *, commission: Fraction | None = None
) -> Settled:
    """``price`` in the currency of ``shop``; carriage is left out, for what is charged for it goes to the carrier."""
    try:
        found, fees = settled(price, cost, channel, shop, commission=commission)
    except PlannerError as error:
        return Settled(None, NOUGHT, None, str(error))
    terms = [Term("Price", Figure(price, "money", "as it is asked there"))]
    if found.tax and shop.tax_included:
        terms.append(Term("Tax in it", Figure(-found.tax, "money", "held in the price", _SETTINGS)))
    terms += [Term(fee.name, Figure(-fee.amount, "money", "what the channel takes")) for fee in fees]
    terms.append(Term("The piece", Figure(-cost, "money", "what it cost to make, hours in it")))
    rule = "price less tax, fees and what the piece cost; carriage left out"
    return Settled(Figure(found.profit, "money", rule, "", tuple(terms)).as_record(), found.profit, found.margin)
