"""The door to the planner for a sale: what it comes to, what the channel takes, what is left."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from planner.measures import round_half_up
from planner.pricing import Fee, Settlement, Terms, settle
from shopapp.listings.models import Channel
from shopapp.payments.deals import DealLine
from shopapp.payments.planning import Sums, sums_of_credit, sums_of_lines
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import terms_of

__all__ = ["FeeTaken", "Settlement", "Sums", "fees_taken", "settled", "shared", "sums_of_sale", "tax_given_back"]


@dataclass(frozen=True)
class FeeTaken:
    name: str
    amount: Decimal


def sums_of_sale(price: Decimal, carriage: Decimal, shop: Workshop) -> Sums:
    """What the buyer pays and the tax in it, by the same rule as an invoice. Raises PlannerError."""
    line = DealLine("", 1, price)
    sums = sums_of_lines([line], shop.tax, shop.tax_included, shop.currency_exponent, carriage=carriage)
    return Sums(sums.net, sums.tax, sums.gross)


def _terms(
    channel: Channel | None, shop: Workshop, carriage: Decimal, paid: Decimal, commission: Fraction | None
) -> Terms:
    """How a sale through a channel is settled. ``commission`` is what was agreed with a shop for this very piece; it
    stands in the place of what the channel usually takes."""
    terms = replace(terms_of(shop), carriage_charged=carriage, carriage_paid=paid, margin=Fraction(0), ending=None)
    if channel is None:
        return replace(terms, fees=())
    if not channel.own_fees:
        return terms
    fee = Fee(
        percent=channel.percent,
        fixed=channel.fixed,
        on_carriage=channel.on_carriage,
        on_tax=channel.on_tax,
        name=channel.name,
        minimum=channel.minimum,
        cap=channel.cap,
    )
    if commission is not None:
        fee = replace(fee, percent=commission, minimum=None, cap=None)
    return replace(terms, fees=(fee,))


def settled(
    price: Decimal, cost: Decimal, channel: Channel | None, shop: Workshop, *, carriage: Decimal = Decimal(0),
    paid: Decimal = Decimal(0), commission: Fraction | None = None,
) -> tuple[Settlement, list[FeeTaken]]:  # fmt: skip
    """One sale settled to the coin in the currency of ``shop``: ``carriage`` comes from the buyer, ``paid`` goes to the
    carrier. With the fees there are, each by its name. Raises PricingError."""
    terms = _terms(channel, shop, carriage, paid, commission)
    found = settle(price, cost, terms)
    fees = [FeeTaken(fee.name, amount) for fee, amount in zip(terms.fees, found.fees, strict=True) if amount]
    return found, fees


def fees_taken(
    price: Decimal, carriage: Decimal, channel: Channel | None, shop: Workshop, commission: Fraction | None = None
) -> list[FeeTaken]:
    return settled(price, Decimal(0), channel, shop, carriage=carriage, commission=commission)[1]


def tax_given_back(whole: Sums, before: Decimal, amount: Decimal, exponent: int) -> Decimal:
    """The tax in ``amount`` that is given back of a sale after ``before`` was: the parts of a sale given back wholly
    add up to it, their taxes too."""
    return sums_of_credit(whole, before, amount, exponent).tax


def shared(amount: Decimal, parts: int, exponent: int) -> list[Decimal]:
    """``amount`` over so many parts to the coin, which add up to it.

    >>> [str(part) for part in shared(Decimal("10.00"), 3, 2)]
    ['3.33', '3.34', '3.33']
    """
    upto = [round_half_up(Fraction(amount) * n / parts, exponent) for n in range(parts + 1)]
    return [after - before for before, after in pairwise(upto)]
