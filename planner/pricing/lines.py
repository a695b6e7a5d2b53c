"""What the lines of an offer or an invoice come to: the sum, its tax, the deposit and what is left to pay."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.measures import round_half_up
from planner.pricing.sale import NOUGHT, PricingError


@dataclass(frozen=True, slots=True)
class OfferSums:
    """What stands at the foot of an offer. ``net`` + ``tax`` is ``gross``, ``deposit`` + ``balance`` is ``gross``.

    ``by_line`` is what is printed beside each line: price × count, tax in it where the prices hold it. They and
    ``carriage`` add up to ``gross`` where the tax is included, to ``net`` where it comes on top.
    """

    net: Decimal
    tax: Decimal
    gross: Decimal
    deposit: Decimal
    balance: Decimal
    by_line: tuple[Decimal, ...]
    carriage: Decimal = NOUGHT


def offer_sums(
    lines: Sequence[tuple[Decimal, int]],
    carriage: Decimal = NOUGHT,
    tax: Fraction = Fraction(0),
    tax_included: bool = False,
    deposit_share: Fraction = Fraction(0),
    exponent: int = 2,
) -> OfferSums:
    """The sums of ``lines``, each a price of one and how many, with ``carriage`` beside them.

    ``tax`` is a share, on the lines and the carriage, already in both with ``tax_included``. It is worked out once on
    the whole sum and rounded once, a half away from nought, as ``settle`` has it for a sale; lines are not rounded,
    being whole coins already. ``deposit_share`` of what the buyer pays is due first, rounded likewise; the balance is
    the rest to the coin. A line may be below nought: something taken off, or given back.

    Raises PricingError, naming the field, for a tax below nought, a share of more than all or less than nothing, a
    count below nought, and an amount finer than the currency is paid in.

    >>> sums = offer_sums([(Decimal("379.00"), 2)], Decimal("14.00"), Fraction(20, 100), True, Fraction(1, 3))
    >>> [str(amount) for amount in (sums.net, sums.tax, sums.gross, sums.deposit, sums.balance)]
    ['643.33', '128.67', '772.00', '257.33', '514.67']
    """
    _check(lines, carriage, tax, deposit_share, exponent)
    by_line = tuple(round_half_up(Fraction(price) * count, exponent) for price, count in lines)
    whole = sum(by_line, round_half_up(carriage, exponent))
    held = tax / (1 + tax) if tax_included else tax
    taxed = round_half_up(Fraction(whole) * held, exponent)
    net, gross = (whole - taxed, whole) if tax_included else (whole, whole + taxed)
    deposit = round_half_up(Fraction(gross) * deposit_share, exponent)
    return OfferSums(net, taxed, gross, deposit, gross - deposit, by_line, round_half_up(carriage, exponent))


def _check(
    lines: Sequence[tuple[Decimal, int]], carriage: Decimal, tax: Fraction, deposit_share: Fraction, exponent: int
) -> None:
    if tax < 0:
        raise PricingError("The tax is less than nought.", mend="Write nought or more.", field="tax")
    if not 0 <= deposit_share <= 1:
        raise PricingError(
            "The deposit is a share of what the buyer pays.", mend="Write from 0 to 100 %.", field="deposit"
        )
    for field, amount in (*(("price", price) for price, _ in lines), ("carriage", carriage)):
        if (Fraction(amount) * 10**exponent).denominator != 1:
            raise PricingError(
                f"{amount} is finer than this currency is paid in.",
                mend=f"Write it with {exponent} decimals at most." if exponent else "Write it without decimals.",
                field=field,
            )
    for _, count in lines:
        if count < 0:
            raise PricingError("A count is less than nought.", mend="Write how many there are.", field="count")
