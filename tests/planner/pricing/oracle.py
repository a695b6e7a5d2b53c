"""A sale once more, in a few plain lines that share nothing with the planner but the words of its arguments.

``profit`` and ``meets`` are in exact fractions, for any sale. ``InCoins`` is the same in whole coins for sales whose
fees are in hundredths of a per cent, tax and margin in per cent: quick enough to try every price there is.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor


def rounded(exact, exponent):
    """To ``exponent`` decimals, a half away from nought."""
    scaled = Fraction(exact) * 10**exponent
    whole = floor(abs(scaled) + Fraction(1, 2))
    return Fraction(whole if scaled >= 0 else -whole, 10**exponent)


def profits(cost, terms):
    """The profit by price: P = net item, S = net carriage; every fee and the tax rounded, then what is left."""
    held = 1 + terms.tax if terms.tax_included else Fraction(1)
    carriage = Fraction(terms.carriage_charged) / held
    spent = Fraction(terms.carriage_paid) + Fraction(cost)
    fees = [
        (
            fee.percent * (1 + terms.tax if fee.on_tax else 1),
            carriage if fee.on_carriage else 0,
            Fraction(fee.fixed),
            None if fee.minimum is None else Fraction(fee.minimum),
            None if fee.cap is None else Fraction(fee.cap),
        )
        for fee in terms.fees
    ]

    def at(price):
        item = Fraction(price) / held
        kept = item + carriage
        for share, of_carriage, fixed, minimum, cap in fees:
            taken = (item + of_carriage) * share + fixed
            if minimum is not None:
                taken = max(taken, minimum)
            if cap is not None:
                taken = min(taken, cap)
            kept -= rounded(taken, terms.exponent)
        # What is handed on is the tax as rounded; what the price holds of it is exact.
        tax = (item + carriage) * terms.tax
        if terms.tax_included:
            kept += tax - rounded(tax, terms.exponent)
        return rounded(kept - spent, terms.exponent)

    return at


def profit(price, cost, terms):
    return profits(cost, terms)(price)


def meets(price, cost, terms):
    return any_meets([price], cost, terms)


def any_meets(prices, cost, terms):
    """Whether one of ``prices`` meets the target."""
    held = 1 + terms.tax if terms.tax_included else 1
    at, wanted = profits(cost, terms), Fraction(terms.profit)
    return any(at(price) >= wanted + terms.margin * Fraction(price) / held for price in prices)


@dataclass(frozen=True)
class InCoins:
    """``fees`` are (hundredths of a per cent, fixed, on carriage, on tax, least, most); amounts are whole coins."""

    cost: int
    fees: tuple
    tax: int
    included: bool
    margin: int
    wanted: int
    paid: int
    charged: int

    def meets(self, price):
        held = 100 + self.tax if self.included else 100
        whole = price + self.charged
        tax = (2 * whole * self.tax + held) // (2 * held)
        left = whole - self.paid - self.cost - (tax if self.included else 0)
        for hundredths, fixed, on_carriage, on_tax, least, most in self.fees:
            base = (whole if on_carriage else price) * hundredths * (100 + self.tax if on_tax else 100)
            taken = (2 * base + 10_000 * held) // (2 * 10_000 * held) + fixed
            left -= min(max(taken, least), most)
        return held * (left - self.wanted) >= self.margin * price

    def smallest(self):
        """The smallest price that meets the target, every one tried from where none can.

        Each rounding moves what is left by half a coin at most, so that no price passes that would fall short by more
        than all of them together were nothing rounded; minimums and caps are left out, for neither is below that line.
        """
        held = Fraction(100 + self.tax if self.included else 100, 100)
        share = Fraction(self.margin, 100)
        needed = self.cost + self.paid + self.wanted - self.charged / held - Fraction(len(self.fees) + 3, 2)
        for hundredths, fixed, on_carriage, on_tax, *_ in self.fees:
            weight = Fraction(hundredths, 10_000) * (1 + Fraction(self.tax, 100) if on_tax else 1)
            share += weight
            needed += fixed + (weight * self.charged / held if on_carriage else 0)
        price = max(0, floor(needed / (1 - share) * held))
        while not self.meets(price):
            price += 1
        return price
