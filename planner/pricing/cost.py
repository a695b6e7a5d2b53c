"""What boards cost to make, from the maker's own rates and the quantities of the build."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from fractions import Fraction
from math import ceil

from planner.figures import Figure, Term
from planner.measures import round_half_up
from planner.pricing.sale import NOUGHT, NoPrice, PricingError

SETTINGS = "the workshop's settings"
_SPOKEN = {"bf": "board foot", "m3": "cubic metre", "l": "litre", "h": "hour", "disc": "disc or sheet"}


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


@dataclass(frozen=True, slots=True)
class WoodCost:
    """``amount`` of a wood, as sawn from the rough, at ``price`` per ``unit`` ("bf" or "m3")."""

    name: str
    amount: Fraction
    unit: str
    price: Decimal


def made_cost(
    woods: Sequence[WoodCost],
    glue_area_m2: Fraction,
    finished_area_m2: Fraction,
    hours: Fraction,
    rates: Rates,
    *,
    quantity: int = 1,
    abrasive_area_m2: Fraction | None = None,
) -> Figure:
    """What ``quantity`` boards cost to make: a money figure with a term a line, each line rounded once.

    Areas, amounts and hours are for all boards together. ``finished_area_m2`` is what is oiled and, unless
    ``abrasive_area_m2`` says else, sanded. Carriage and fees belong to the sale, not here. Raises NoPrice where the
    reserve is the whole, PricingError for a rate nothing can be worked out with.
    """
    check_rates(rates)
    for wood in woods:
        if wood.price < 0 or wood.amount < 0:
            raise PricingError(f"{wood.name} costs less than nought.", mend="Write its price.", field="price")
    sanded = finished_area_m2 if abrasive_area_m2 is None else abrasive_area_m2
    lines = [
        *(_wood(wood, rates) for wood in woods),
        _glue(glue_area_m2, rates),
        _abrasives(sanded, rates),
        _finish(finished_area_m2, rates),
        _labour(hours, rates),
        _overhead(hours, rates),
    ]
    made = sum((_amount(line) for line in lines), NOUGHT)
    lines += [_reserve(made, rates), _packaging(quantity, rates)]
    total = sum((_amount(line) for line in lines), NOUGHT)
    return Figure(total, "money", "the lines added up, each rounded once", terms=tuple(lines))


def wood_cost(woods: Sequence[WoodCost], exponent: int) -> Figure:
    """What the wood alone costs, a term a wood as in ``made_cost``, each rounded once to ``exponent`` decimals.

    >>> beech, ash = WoodCost("Beech", Fraction(3, 2), "bf", Decimal(7)), WoodCost("Ash", Fraction(1), "bf", Decimal(5))
    >>> wood_cost([beech, ash], 2).value
    Decimal('15.50')
    """
    rates = Rates(exponent=exponent)
    lines = [_wood(wood, rates) for wood in woods]
    total = sum((_amount(line) for line in lines), NOUGHT)
    return Figure(total, "money", "the woods added up, each rounded once", terms=tuple(lines))


def check_rates(rates: Rates) -> None:
    """Raises PricingError or NoPrice, naming the field of ``rates``."""
    for field in fields(rates):
        if getattr(rates, field.name) < 0:
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


def _wood(wood: WoodCost, rates: Rates) -> Term:
    return Term(
        wood.name,
        _money(
            wood.amount * Fraction(wood.price),
            f"what is sawn × price per {_SPOKEN.get(wood.unit, wood.unit)}",
            rates,
            _given("Sawn", wood.amount, wood.unit, "the rough lengths to be sawn, at the stock's rough thickness"),
            Term(
                f"Price per {_SPOKEN.get(wood.unit, wood.unit)}",
                Figure(wood.price, "money", "as paid for it", "the woods on hand"),
            ),
        ),
    )


def _glue(area: Fraction, rates: Rates) -> Term:
    grams = area * rates.glue_g_per_m2 * (1 + rates.glue_loss)
    return Term(
        "Glue",
        _money(
            grams / 1000 * Fraction(rates.glue_per_kg),
            "joint area × spread × (1 + loss) × price per kg",
            rates,
            _given("Joint area", area, "m2", "every joint counted once"),
            _set("Spread", rates.glue_g_per_m2, "g/m2"),
            _set("Loss", rates.glue_loss, "share"),
            _price(rates.glue_per_kg, "kg"),
        ),
    )


def _abrasives(area: Fraction, rates: Rates) -> Term:
    discs = ceil(rates.grits * area / rates.abrasive_m2_each) if rates.grits else 0
    count = Figure(
        discs,
        "pieces",
        "grits × area ÷ area one lasts, rounded up",
        terms=(
            _set("Grits", Fraction(rates.grits), "grits"),
            _given("Sanded", area, "m2", "both faces"),
            _set("One lasts", rates.abrasive_m2_each, "m2"),
        ),
    )
    return Term(
        "Abrasives",
        _money(
            discs * Fraction(rates.abrasive_price_each),
            "discs or sheets × price of one",
            rates,
            Term("Discs or sheets", count),
            _price(rates.abrasive_price_each, "disc"),
        ),
    )


def _finish(area: Fraction, rates: Rates) -> Term:
    return Term(
        "Finish",
        _money(
            area * rates.finish_coats * rates.finish_l_per_m2 * Fraction(rates.finish_per_l),
            "area of both faces × coats × litres per m² × price per litre",
            rates,
            _given("Both faces", area, "m2", "length × height of the finished board, twice"),
            _set("Coats", Fraction(rates.finish_coats), "coats"),
            _set("A coat takes", rates.finish_l_per_m2, "l/m2"),
            _price(rates.finish_per_l, "l"),
        ),
    )


def _labour(hours: Fraction, rates: Rates) -> Term:
    # A price asked with an unpaid hour in it must not look like one that pays for the work.
    rule = "hours × the maker's hour" if rates.hour else "hours × the maker's hour, which is set to nought: unpaid"
    return Term("Labour", _money(hours * Fraction(rates.hour), rule, rates, _hours(hours), _price(rates.hour, "h")))


def _overhead(hours: Fraction, rates: Rates) -> Term:
    amount = hours * Fraction(rates.overhead_hour)
    price = _price(rates.overhead_hour, "h")
    return Term("Overhead", _money(amount, "hours × overhead an hour", rates, _hours(hours), price))


def _reserve(made: Decimal, rates: Rates) -> Term:
    return Term(
        "Reserve for boards lost",
        _money(
            Fraction(made) / (1 - rates.reserve) - Fraction(made),
            "made ÷ (1 − share lost) − made",
            rates,
            Term("Made", Figure(made, "money", "the lines above added up")),
            _set("Share lost", rates.reserve, "share"),
        ),
    )


def _packaging(quantity: int, rates: Rates) -> Term:
    boards = Term("Boards", Figure(quantity, "boards", "as chosen"))
    amount = Fraction(rates.packaging) * quantity
    return Term(
        "Packaging", _money(amount, "boards × packaging of one", rates, boards, _price(rates.packaging, "board"))
    )


def _money(exact: Fraction, rule: str, rates: Rates, *terms: Term) -> Figure:
    return Figure(round_half_up(exact, rates.exponent), "money", rule, terms=terms)


def _given(name: str, value: Fraction, unit: str, rule: str) -> Term:
    return Term(name, Figure(value, unit, rule))


def _set(name: str, value: Fraction, unit: str) -> Term:
    return Term(name, Figure(value, unit, "as set", SETTINGS))


def _price(price: Decimal, unit: str) -> Term:
    return Term(f"Price per {_SPOKEN.get(unit, unit)}", Figure(price, "money", "as set", SETTINGS))


def _hours(hours: Fraction) -> Term:
    return Term("Hours", Figure(hours, "h", "standard times × counts"))


def _amount(line: Term) -> Decimal:
    assert isinstance(line.figure.value, Decimal)
    return line.figure.value
