"""The maker's own rates, and how each is shown: as set, or as the assumption it is until the maker writes another."""

from __future__ import annotations

from dataclasses import dataclass, fields
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.pricing.sale import NoPrice, PricingError

SETTINGS = "the workshop's settings"
ASSUMED = "the default, an assumption: write your own in the workshop's settings"
AVERAGE = "the moving average of what is on the shelf"
SPOKEN = {"bf": "board foot", "m3": "cubic metre", "l": "litre", "h": "hour", "disc": "disc or sheet"}


@dataclass(frozen=True, slots=True)
class Rates:
    """The maker's own rates. Every default is an assumption from memory for the maker to put right: spread and use
    come from data sheets, prices from receipts. None is below nought."""

    # What an hour of the maker's is to be paid, and the shop's rent, power and blades an hour. An hour may be worth
    # nought, for a gift; its line says so.
    hour: Decimal = Decimal(20)
    overhead_hour: Decimal = Decimal("3.50")
    # Grams of glue on each square metre of joint (150 to 250 by most data sheets, from memory), what is lost on top
    # as a share, and its price.
    glue_g_per_m2: Fraction = Fraction(200)
    glue_loss: Fraction = Fraction(1, 2)
    glue_per_kg: Decimal = Decimal(12)
    # Each grit goes over the faces; a disc or sheet is done after so much area.
    grits: int = 5
    abrasive_m2_each: Fraction = Fraction("0.135")
    abrasive_price_each: Decimal = Decimal("0.60")
    finish_coats: int = 2
    finish_l_per_m2: Fraction = Fraction("0.05")
    finish_per_l: Decimal = Decimal(40)
    packaging: Decimal = Decimal("4.50")
    # Share of finished boards lost and made again until one is good: each then costs cost ÷ (1 − share).
    reserve: Fraction = Fraction(4, 100)
    # Decimals of the currency.
    exponent: int = 2
    # Prices among these that are what the shelf's goods cost on average (``planner.pricing.shelf``), by field.
    at_average: tuple[str, ...] = ()


_DEFAULTS = Rates()


def rate_term(name: str, rates: Rates, field: str, unit: str) -> Term:
    """A rate as a term of a sum: its value, and whether it is still the default.

    >>> rate_term("Spread", Rates(glue_g_per_m2=Fraction(180)), "glue_g_per_m2", "g/m2").figure.source
    "the workshop's settings"
    """
    value = getattr(rates, field)
    written = ASSUMED if value == getattr(_DEFAULTS, field) else SETTINGS
    source = AVERAGE if field in rates.at_average else written
    return Term(name, Figure(Fraction(value) if unit != "money" else value, unit, "as set", source))


def price_term(rates: Rates, field: str, unit: str) -> Term:
    return rate_term(f"Price per {SPOKEN.get(unit, unit)}", rates, field, "money")


def check_rates(rates: Rates) -> None:
    """Raises PricingError or NoPrice, naming the field of ``rates``."""
    for field in fields(rates):
        if field.name != "at_average" and getattr(rates, field.name) < 0:
            words = field.name.replace("_", " ")
            raise PricingError(
                f"The rate “{words}” is less than nought.", mend="Write nought or more.", field=field.name
            )
    if rates.grits and not rates.abrasive_m2_each:
        raise PricingError(
            "A disc or sheet that lasts no area at all would never be enough.",
            mend="Write how many square metres one lasts.",
            field="abrasive_m2_each",
        )
    if rates.reserve >= 1:
        raise NoPrice(
            "If every board is lost, no cost covers the one that comes out well.",
            mend="Write a reserve under 100 %.",
            field="reserve",
        )
