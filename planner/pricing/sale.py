"""One sale at a given price, settled to the cent: tax, fees, what is left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import lcm

from planner.errors import PlannerError
from planner.measures import round_half_up

NOUGHT = Decimal(0)


class PricingError(PlannerError):
    """A rate, a fee or a condition of sale nothing can be worked out with; ``field`` names it."""


class NoPrice(PricingError):
    """No price exists: fees, with the tax they are taken on, and the margin take all of it."""


@dataclass(frozen=True, slots=True)
class Fee:
    """One fee of a channel: ``percent`` (a share) of the net item, and of carriage and tax where it says so, plus
    ``fixed``; never below ``minimum`` nor above ``cap``. The channel rounds each fee on its own."""

    percent: Fraction = Fraction(0)
    fixed: Decimal = NOUGHT
    on_carriage: bool = True
    on_tax: bool = False
    name: str = "fee"
    minimum: Decimal | None = None
    cap: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """How a board is sold.

    ``tax`` is a share, included in the list price and in the carriage charged, or added to both; a maker who is not
    registered has none. ``margin`` is the share of the net price to keep, ``profit`` money on top of it.
    ``carriage_paid`` goes to the carrier, ``carriage_charged`` comes from the buyer. Amounts have ``exponent``
    decimals. ``ending`` asks for a price that ends so, on a grid of ``ending_step``; left out, the step is the
    first of 1, 10, 100 ... above the ending: 9.00 makes 189.00 and 199.00, 0.50 makes 189.50 and 190.50.
    """

    fees: tuple[Fee, ...] = ()
    tax: Fraction = Fraction(0)
    tax_included: bool = False
    margin: Fraction = Fraction(0)
    profit: Decimal = NOUGHT
    carriage_paid: Decimal = NOUGHT
    carriage_charged: Decimal = NOUGHT
    exponent: int = 2
    ending: Decimal | None = None
    ending_step: Decimal | None = None

    @property
    def unit(self) -> Fraction:
        """The smallest amount of the currency, a cent where it has two decimals."""
        return Fraction(1, 10**self.exponent)

    @property
    def gross(self) -> Fraction:
        """What the list price is of the net price: 1 + tax where it is included, else 1."""
        return 1 + self.tax if self.tax_included else Fraction(1)

    @property
    def net_carriage(self) -> Fraction:
        return Fraction(self.carriage_charged) / self.gross


@dataclass(frozen=True, slots=True)
class Settlement:
    """What one sale comes to. ``margin`` is profit ÷ net price, ``markup`` profit ÷ cost; None where there is
    nothing to divide by."""

    list_price: Decimal
    net_item: Fraction
    net_carriage: Fraction
    tax: Decimal
    buyer_pays: Decimal
    fees: tuple[Decimal, ...]
    proceeds: Decimal
    profit: Decimal
    margin: Fraction | None
    markup: Fraction | None


def settle(price: Decimal, cost: Decimal, terms: Terms) -> Settlement:
    """Settle one sale at list ``price`` of a board that cost ``cost``; the target in ``terms`` plays no part.

    Raises PricingError for conditions nothing can be worked out with.

    >>> fees = (Fee(Fraction("0.065")), Fee(Fraction("0.03"), Decimal("0.30")))
    >>> settle(Decimal("201.99"), Decimal(120), Terms(fees, carriage_paid=Decimal(12))).profit
    Decimal('50.50')
    """
    check_terms(terms)
    return settled(price, cost, terms)


def settled(price: Decimal, cost: Decimal, terms: Terms) -> Settlement:
    """As ``settle``, of conditions already looked over."""
    net_item, net_carriage = Fraction(price) / terms.gross, terms.net_carriage
    taken, coins = Taken(terms), Fraction(price) / terms.unit
    tax, *fees = (share.at(*coins.as_integer_ratio()) for share in (taken.tax, *taken.fees))
    # With the tax included the buyer's sum is whole and the rounded tax comes out of it; with the tax added the
    # net sum is whole and the rounded tax goes on top.
    asked = Fraction(price) + Fraction(terms.carriage_charged)
    kept_back = tax * terms.unit
    buyer, held = (asked, asked - kept_back) if terms.tax_included else (asked + kept_back, asked)
    proceeds = held - sum(fees) * terms.unit
    profit = round_half_up(proceeds - Fraction(terms.carriage_paid) - Fraction(cost), terms.exponent)
    return Settlement(
        price,
        net_item,
        net_carriage,
        round_half_up(kept_back, terms.exponent),
        round_half_up(buyer, terms.exponent),
        tuple(round_half_up(fee * terms.unit, terms.exponent) for fee in fees),
        round_half_up(proceeds, terms.exponent),
        profit,
        Fraction(profit) / net_item if net_item else None,
        Fraction(profit) / Fraction(cost) if cost else None,
    )


@dataclass(frozen=True, slots=True)
class Growing:
    """An amount that grows evenly with the price, in whole coins: (``rise`` × price + ``start``) ÷ ``below``, rounded a
    half away from nought, never below ``least`` nor above ``most``."""

    rise: int
    start: int
    below: int
    least: int | None = None
    most: int | None = None

    def at(self, above: int, below: int = 1) -> int:
        """At a price of ``above`` ÷ ``below`` coins."""
        amount = half_up(self.rise * above + self.start * below, self.below * below)
        # What is rounded afterwards stands to its limits as these do once they are rounded.
        if self.least is not None and amount < self.least:
            amount = self.least
        return amount if self.most is None or amount < self.most else self.most


def half_up(above: int, below: int) -> int:
    """``above`` ÷ ``below``, more than nought, to a whole number, a half away from nought."""
    whole = (2 * abs(above) + below) // (2 * below)
    return whole if above >= 0 else -whole


class Taken:
    """What tax and fees take at any price, each rounded on its own: ``tax`` and ``fees`` in whole coins, of which
    there are ``coins`` in 1 of the currency. Conditions already looked over."""

    __slots__ = ("coins", "fees", "tax")

    def __init__(self, terms: Terms) -> None:
        self.coins = 10**terms.exponent
        carriage = terms.net_carriage
        self.tax = self._growing(terms.tax / terms.gross, terms.tax * carriage, terms)
        self.fees = tuple(
            self._growing(
                weight(fee, terms) / terms.gross,
                fee_before_rounding(fee, Fraction(0), carriage, terms),
                terms,
                fee.minimum,
                fee.cap,
            )
            for fee in terms.fees
        )

    def _growing(
        self, rise: Fraction, start: Fraction, terms: Terms, minimum: Decimal | None = None, cap: Decimal | None = None
    ) -> Growing:
        start *= self.coins
        below = lcm(rise.denominator, start.denominator)
        least, most = (
            None if limit is None else half_up(*(Fraction(limit) * self.coins).as_integer_ratio())
            for limit in (minimum, cap)
        )
        return Growing(int(rise * below), int(start * below), below, least, most)


def shortfalls(cost: Decimal, terms: Terms) -> Callable[[int], tuple[int, int]]:
    """What the settled profit at a price, in whole coins, lacks of ``profit + margin × net price``: as a whole number
    and what it is divided by, more than nought; nought or less where the target is met. Of conditions already looked
    over.

    A search asks it at many prices, so that all the price plays no part in is worked out once, and the rest in whole
    numbers.
    """
    taken, coins = Taken(terms), 10**terms.exponent
    beside = (Fraction(terms.carriage_charged) - Fraction(terms.carriage_paid) - Fraction(cost)) * coins
    more, below = beside.as_integer_ratio()
    target, share = Fraction(terms.profit) * coins, terms.margin / terms.gross
    over = lcm(target.denominator, share.denominator)
    wanted, part = int(target * over), int(share * over)
    tax = taken.tax if terms.tax_included else None

    def short(price: int) -> tuple[int, int]:
        kept = price
        if tax is not None:
            kept -= tax.at(price)
        for fee in taken.fees:
            kept -= fee.at(price)
        return wanted + part * price - half_up(kept * below + more, below) * over, over

    return short


def weight(fee: Fee, terms: Terms) -> Fraction:
    """The share of the net price a fee takes: more than its percentage where tax is part of what it is taken on."""
    return fee.percent * (1 + terms.tax if fee.on_tax else 1)


def fee_before_rounding(fee: Fee, net_item: Fraction, net_carriage: Fraction, terms: Terms) -> Fraction:
    """The fee in exact parts, its minimum and cap left out."""
    base = net_item + (net_carriage if fee.on_carriage else 0)
    return base * weight(fee, terms) + Fraction(fee.fixed)


def check_terms(terms: Terms) -> None:
    """Raises PricingError, naming the field, for shares or amounts below nought and an ending finer than a cent."""
    amounts: list[tuple[str, str, Fraction | Decimal | None]] = [
        ("The tax", "tax", terms.tax),
        ("The margin", "margin", terms.margin),
        ("The profit asked", "profit", terms.profit),
        ("The carriage paid", "carriage_paid", terms.carriage_paid),
        ("The carriage charged", "carriage_charged", terms.carriage_charged),
        ("The ending", "ending", terms.ending),
    ]
    for fee in terms.fees:
        of = f"of “{fee.name}”"
        amounts += [
            (f"The percentage {of}", "fees", fee.percent),
            (f"The fixed part {of}", "fees", fee.fixed),
            (f"The minimum {of}", "fees", fee.minimum),
            (f"The cap {of}", "fees", fee.cap),
        ]
    for what, field, amount in amounts:
        if amount is not None and amount < 0:
            raise PricingError(f"{what} is less than nought.", mend="Write nought or more.", field=field)
    if terms.ending_step is not None and terms.ending_step <= 0:
        raise PricingError("Prices that end alike need a step.", mend="Write more than nought.", field="ending_step")
    for field, value in (("ending", terms.ending), ("ending_step", terms.ending_step)):
        if value is not None and (Fraction(value) / terms.unit).denominator != 1:
            raise PricingError(
                f"Prices that end alike, by {value}, are finer than the "
                f"{round_half_up(terms.unit, terms.exponent)} this currency is paid in.",
                mend="Write the ending with fewer decimals, where the workshop's settings say how you sell.",
                field=field,
            )
