"""The money ledger's one door to the planner: what lines come to, and how a sum's tax is dealt out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from planner.measures import round_half_up
from planner.pricing import OfferSums, offer_sums
from shopapp.common.fields import MOST_MONEY

from .deals import Deal, DealLine


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
    """The same of lines alone. Raises PlannerError also where it is more than the book can hold."""
    sums = offer_sums([(line.each, line.count) for line in lines], carriage, tax, tax_included, deposit, exponent)
    if sums.gross > MOST_MONEY:
        raise PlannerError("That is more than this book can hold.", mend=f"Write at most {MOST_MONEY} in all.")
    return sums


@dataclass(frozen=True)
class Sums:
    """What stands at the foot of an invoice; ``net`` + ``tax`` is ``gross``."""

    net: Decimal
    tax: Decimal
    gross: Decimal


def sums_of_invoice(
    lines: Sequence[DealLine], tax: Fraction, tax_included: bool, exponent: int, taken: Sequence[Sums] = ()
) -> Sums:
    """What lines come to, less what is taken off: a sum's tax is worked out once on the whole of it, and an invoice for
    the rest holds what a deposit invoice did not. So all of a deal's invoices together are the deal to the coin, their
    taxes too.

    Raises PricingError as ``offer_sums`` does, and PlannerError where what is left is nothing, or so little that its
    tax is not in it any more.
    """
    whole = sums_of_lines(lines, tax, tax_included, exponent)
    gross = whole.gross - sum((one.gross for one in taken), Decimal(0))
    of_it = whole.tax - sum((one.tax for one in taken), Decimal(0))
    if gross <= 0:
        raise PlannerError(
            "Nothing is left to pay." if taken else "It comes to nothing.",
            mend="The lines come to no more than the deposit." if taken else "Write what is to be paid for it.",
        )
    if not 0 <= of_it <= gross:
        raise PlannerError("The rest is less than its own tax.", mend="Write an invoice for all of it instead.")
    return Sums(gross - of_it, of_it, gross)


def sums_of_deposit(amount: Decimal, tax: Fraction, exponent: int) -> Sums:
    """A deposit is a sum to be paid, so its tax is held in it however prices have theirs."""
    return sums_of_invoice([DealLine("", 1, amount)], tax, True, exponent)


def sums_of_credit(whole: Sums, before: Decimal, amount: Decimal, exponent: int) -> Sums:
    """What crediting ``amount`` takes of an invoice after ``before`` was credited of it. Its tax is what is then
    credited of the invoice's tax, in proportion and rounded, less what was: the parts of an invoice that is credited
    wholly add up to it, their taxes too."""
    of_it = _tax_within(whole, before + amount, exponent) - _tax_within(whole, before, exponent)
    return Sums(amount - of_it, of_it, amount)


def _tax_within(whole: Sums, gross: Decimal, exponent: int) -> Decimal:
    return round_half_up(Fraction(gross) * Fraction(whole.tax) / Fraction(whole.gross), exponent)
