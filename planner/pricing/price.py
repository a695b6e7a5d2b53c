"""The smallest price that meets what the maker wants of it."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import NamedTuple

from planner.measures import round_half_up
from planner.pricing.sale import Fee, NoPrice, Terms, check_terms, fee_before_rounding, shortfalls, weight

# Where less of each 1 of price is left than this, a cent of cost moves the price by ten units or more, and rounding
# alone moves it by whole units: no price worth asking.
LEAST_LEFT = Fraction(1, 1000)
# Where less is left than this, the maker is warned that the price runs away.
THIN = Fraction(1, 10)


def share_left(terms: Terms) -> Fraction:
    """What of each 1 of net price is left for cost and carriage after the fees' shares and the margin.

    A fee with a cap takes no share of a price high enough. No price exists at nought or less.
    """
    return 1 - sum((weight(fee, terms) for fee in terms.fees if fee.cap is None), Fraction(0)) - terms.margin


def closed_form(cost: Decimal, terms: Terms) -> Fraction:
    """The net price were nothing rounded:
    (cost + carriage paid + profit + fixed fees + fees on carriage − carriage charged) ÷ (1 − fees − margin).

    Minimums are left out, and so is the share of a fee with a cap. Raises NoPrice and PricingError.

    >>> fees = (Fee(Fraction("0.065")), Fee(Fraction("0.03"), Decimal("0.30")))
    >>> closed_form(Decimal(120), Terms(fees, margin=Fraction(1, 4), carriage_paid=Decimal(12)))
    Fraction(26460, 131)
    """
    _check(terms)
    needed = Fraction(cost) + Fraction(terms.carriage_paid) + Fraction(terms.profit) - terms.net_carriage
    for fee in terms.fees:
        needed += fee_before_rounding(fee, Fraction(0), terms.net_carriage, terms)
    return needed / share_left(terms)


def price_for(cost: Decimal, terms: Terms) -> Decimal:
    """The smallest list price whose settled profit is at least ``profit + margin × net price``; never below 0.

    Raises NoPrice where the shares leave nothing, PricingError for conditions nothing can be worked out with.

    >>> price_for(Decimal(120), Terms(margin=Fraction("0.4")))
    Decimal('200.00')
    """
    _check(terms)
    step, ending = _grid(terms)
    number = max(0, ceil((_first_possible(cost, terms) * terms.gross - ending) / step))
    # The profit never grows faster than the price (fees and tax do not fall as it rises), while the margin asked grows
    # by its share: no price nearer than that can meet the target, so none that does is stepped over. The passing prices
    # need not be one unbroken range near the edge. A unit less, for a profit rounded across nought.
    growth, coins = 1 - terms.margin / terms.gross, 10**terms.exponent
    short_at, first, apart = shortfalls(cost, terms), int(ending * coins), int(step * coins)
    above, below = (growth * apart).as_integer_ratio()
    while True:
        price = number * apart + first
        short, over = short_at(price)
        if short <= 0:
            return round_half_up(Fraction(price, coins), terms.exponent)
        number += max(1, -((over - short) * below // (over * above)))


def _grid(terms: Terms) -> tuple[Fraction, Fraction]:
    """The step between the prices that may be asked, and the first of them."""
    if terms.ending is None:
        return terms.unit, Fraction(0)
    step = 1 if terms.ending_step is None else Fraction(terms.ending_step)
    while terms.ending_step is None and step <= terms.ending:
        step *= 10
    return Fraction(step), Fraction(terms.ending) % step


def _first_possible(cost: Decimal, terms: Terms) -> Fraction:
    """A net price below which none can meet the target, however the roundings fall.

    Between the corners where a minimum ends or a cap begins, what is left over grows evenly with the price. Each
    fee, the tax and the profit are rounded by half a unit at most; half a unit more for good measure.
    """
    rounding = Fraction(len(terms.fees) + 3, 2) * terms.unit
    fees = [_Unrounded.of(fee, terms) for fee in terms.fees]
    beside = terms.net_carriage - Fraction(cost) - Fraction(terms.carriage_paid) - Fraction(terms.profit) + rounding
    kept = 1 - terms.margin

    def left_over(net_item: Fraction) -> Fraction:
        """What is left beyond the target at a net price, were nothing rounded, and the roundings besides."""
        return net_item * kept + beside - sum(fee.at(net_item) for fee in fees)

    if all(fee.least is None and fee.most is None for fee in fees):
        return max(Fraction(0), -left_over(Fraction(0)) / share_left(terms))
    corners = sorted({Fraction(0), *(x for fee in fees for x in fee.corners() if x > 0)})
    for start, end in zip(corners, [*corners[1:], None], strict=True):
        over = left_over(start)
        if over >= 0:
            return start
        width = Fraction(1) if end is None else end - start
        growth = (left_over(start + width) - over) / width
        if growth > 0 and (end is None or start - over / growth <= end):
            return start - over / growth
    raise AssertionError("beyond the last corner the share left is more than nought")


class _Unrounded(NamedTuple):
    """A fee in exact parts: ``share`` of the net price and ``start``, never below ``least`` nor above ``most``."""

    share: Fraction
    start: Fraction
    least: Fraction | None
    most: Fraction | None

    @classmethod
    def of(cls, fee: Fee, terms: Terms) -> _Unrounded:
        start = fee_before_rounding(fee, Fraction(0), terms.net_carriage, terms)
        least, most = (None if limit is None else Fraction(limit) for limit in (fee.minimum, fee.cap))
        return cls(weight(fee, terms), start, least, most)

    def at(self, net_item: Fraction) -> Fraction:
        amount = self.start + self.share * net_item if net_item else self.start
        if self.least is not None and amount < self.least:
            amount = self.least
        return amount if self.most is None or amount < self.most else self.most

    def corners(self) -> list[Fraction]:
        """Net prices from which on no minimum counts, or a cap does."""
        limits = (self.least, self.most) if self.share else ()
        return [(limit - self.start) / self.share for limit in limits if limit is not None]


def price_warning(terms: Terms) -> str:
    """A sentence where so little of the price is left that it runs away; empty where there is nothing to say.

    >>> price_warning(Terms(margin=Fraction(95, 100)))
    'Of each 1 of price only 0.05 is left for the cost: the least change in cost moves the price 20-fold.'
    """
    left = share_left(terms)
    if not LEAST_LEFT <= left < THIN:
        return ""
    return (
        f"Of each 1 of price only {_plain(round_half_up(left, 4))} is left for the cost: "
        f"the least change in cost moves the price {round_half_up(1 / left, 0)}-fold."
    )


def _check(terms: Terms) -> None:
    check_terms(terms)
    left = share_left(terms)
    if left >= LEAST_LEFT:
        return
    shares = [f"{_percent(weight(fee, terms))} {fee.name}" for fee in terms.fees if fee.percent and fee.cap is None]
    if terms.margin:
        shares.append(f"{_percent(terms.margin)} margin")
    take = "takes" if len(shares) == 1 else "take"
    total = _percent(1 - left) if left <= 0 else f"all but {_percent(left, 4)}"
    why = "leaves nothing for the cost" if left <= 0 else "leaves too little for any cost"
    raise NoPrice(
        f"No price exists: {' + '.join(shares)} {take} {total} of it, which {why}.",
        mend="Ask a smaller margin, or sell where the fees are lower."
        if terms.margin
        else "Sell where the fees are lower.",
        field="margin" if terms.margin else "fees",
    )


def _percent(share: Fraction, decimals: int = 2) -> str:
    return f"{_plain(round_half_up(share * 100, decimals))} %"


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
