"""The quotes' one door to the planner: what an offer comes to, tax and carriage as they are settled everywhere."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from planner.pricing import Terms, settle

from .models import Quote


@dataclass(frozen=True)
class OfferSums:
    """What stands under one another on an offer; all in the quote's currency. ``before_tax`` + ``tax`` is
    ``buyer_pays`` whether the tax is held in the prices or comes on top."""

    boards: Decimal
    carriage: Decimal
    before_tax: Decimal
    tax: Decimal
    buyer_pays: Decimal


def sums_of(quote: Quote) -> OfferSums:
    boards = quote.price * quote.boards
    terms = Terms(
        tax=quote.tax,
        tax_included=quote.tax_included,
        carriage_charged=quote.carriage,
        exponent=quote.currency_exponent,
    )
    deal = settle(boards, Decimal(0), terms)
    return OfferSums(boards, quote.carriage, deal.buyer_pays - deal.tax, deal.tax, deal.buyer_pays)
