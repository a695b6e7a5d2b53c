"""The money ledger's one door to the planner: what lines come to, and how a sum's tax is dealt out."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from planner.pricing import OfferSums, offer_sums

from .deals import Deal, DealLine

__all__ = ["OfferSums", "sums_of_deal", "sums_of_lines"]


def sums_of_deal(deal: Deal) -> OfferSums:
    """What was agreed comes to. Raises PricingError as ``offer_sums`` does."""
    return sums_of_lines(
        deal.lines, deal.tax, deal.tax_included, deal.currency_exponent, carriage=deal.carriage, deposit=deal.deposit
    )


def sums_of_lines(
    lines: Sequence[DealLine],
    tax: Fraction,
    tax_included: bool,
    exponent: int,
    *,
    carriage: Decimal = Decimal(0),
    deposit: Fraction = Fraction(0),
) -> OfferSums:
    return offer_sums([(line.each, line.count) for line in lines], carriage, tax, tax_included, deposit, exponent)
