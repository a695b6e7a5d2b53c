"""What boards cost to make, from the maker's own rates and the quantities of the build."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.measures import round_half_up
from planner.pricing.rates import SPOKEN, Rates, check_rates, price_term, rate_term
from planner.pricing.sale import NOUGHT, PricingError
from planner.pricing.supplies import supplies_of

SHARE_LOST = "Share lost"


@dataclass(frozen=True, slots=True)
class HardwareCost:
    """``count`` pieces at ``price`` each, for all boards together."""

    name: str
    count: int
    price: Decimal


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
    hardware: Sequence[HardwareCost] = (),
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
    for piece in hardware:
        if piece.price < 0 or piece.count < 0:
            raise PricingError(f"{piece.name} costs less than nought.", mend="Write its price.", field="details")
    sanded = finished_area_m2 if abrasive_area_m2 is None else abrasive_area_m2
    used = supplies_of(glue_area_m2, finished_area_m2, sanded, rates)
    lines = [
        *(_wood(wood, rates) for wood in woods),
        _glue(used.glue, rates),
        _abrasives(used.abrasives, rates),
        _finish(used.finish, rates),
        *([_hardware(hardware, rates)] if hardware else []),
        _labour(hours, rates),
        _overhead(hours, rates),
    ]
    made = sum((_amount(line) for line in lines), NOUGHT)
    lost = rate_term(SHARE_LOST, rates, "reserve", "share")
    lines += [reserve_line(made, lost, rates.exponent), _packaging(quantity, rates)]
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


def _wood(wood: WoodCost, rates: Rates) -> Term:
    return Term(
        wood.name,
        _money(
            wood.amount * Fraction(wood.price),
            f"what is sawn × price per {SPOKEN.get(wood.unit, wood.unit)}",
            rates,
            _given("Sawn", wood.amount, wood.unit, "the rough lengths to be sawn, at the stock's rough thickness"),
            Term(
                f"Price per {SPOKEN.get(wood.unit, wood.unit)}",
                Figure(wood.price, "money", "as paid for it", "the woods on hand"),
            ),
        ),
    )


def _glue(used: Figure, rates: Rates) -> Term:
    return Term(
        "Glue",
        _money(
            _exact(used) / 1000 * Fraction(rates.glue_per_kg),
            "glue used × price per kg",
            rates,
            Term("Glue used", used),
            price_term(rates, "glue_per_kg", "kg"),
        ),
    )


def _abrasives(used: Figure, rates: Rates) -> Term:
    return Term(
        "Abrasives",
        _money(
            _exact(used) * Fraction(rates.abrasive_price_each),
            "discs or sheets × price of one",
            rates,
            Term("Discs or sheets", used),
            price_term(rates, "abrasive_price_each", "disc"),
        ),
    )


def _finish(used: Figure, rates: Rates) -> Term:
    return Term(
        "Finish",
        _money(
            _exact(used) / 1000 * Fraction(rates.finish_per_l),
            "finish used × price per litre",
            rates,
            Term("Finish used", used),
            price_term(rates, "finish_per_l", "l"),
        ),
    )


def _hardware(hardware: Sequence[HardwareCost], rates: Rates) -> Term:
    terms = tuple(
        Term(
            piece.name,
            Figure(
                piece.price * piece.count,
                "money",
                "pieces × price of one",
                terms=(
                    Term("Pieces", Figure(piece.count, "pieces", "for all boards")),
                    Term("Price of one", Figure(piece.price, "money", "as set")),
                ),
            ),
        )
        for piece in hardware
    )
    exact = sum((Fraction(piece.price) * piece.count for piece in hardware), Fraction(0))
    return Term("Hardware", _money(exact, "pieces × price of one, added up", rates, *terms))


def _labour(hours: Fraction, rates: Rates) -> Term:
    # A price asked with an unpaid hour in it must not look like one that pays for the work.
    rule = "hours × the maker's hour" if rates.hour else "hours × the maker's hour, which is set to nought: unpaid"
    return Term(
        "Labour", _money(hours * Fraction(rates.hour), rule, rates, _hours(hours), price_term(rates, "hour", "h"))
    )


def _overhead(hours: Fraction, rates: Rates) -> Term:
    amount = hours * Fraction(rates.overhead_hour)
    price = price_term(rates, "overhead_hour", "h")
    return Term("Overhead", _money(amount, "hours × overhead an hour", rates, _hours(hours), price))


def reserve_line(made: Decimal, share_lost: Term, exponent: int) -> Term:
    """What is put by for boards lost. A share q of them is lost and made again until one is good: 1 ÷ (1 − q) are made
    for each, the mean of a geometric distribution, so that made × q ÷ (1 − q) is to be earned by those that sell."""
    share = share_lost.figure.value
    assert isinstance(share, Fraction)
    return Term(
        "Reserve for boards lost",
        Figure(
            round_half_up(Fraction(made) / (1 - share) - Fraction(made), exponent),
            "money",
            "made ÷ (1 − share lost) − made",
            terms=(Term("Made", Figure(made, "money", "the lines above added up")), share_lost),
        ),
    )


def _packaging(quantity: int, rates: Rates) -> Term:
    boards = Term("Boards", Figure(quantity, "boards", "as chosen"))
    amount = Fraction(rates.packaging) * quantity
    return Term(
        "Packaging", _money(amount, "boards × packaging of one", rates, boards, price_term(rates, "packaging", "board"))
    )


def _money(exact: Fraction, rule: str, rates: Rates, *terms: Term) -> Figure:
    return Figure(round_half_up(exact, rates.exponent), "money", rule, terms=terms)


def _given(name: str, value: Fraction, unit: str, rule: str) -> Term:
    return Term(name, Figure(value, unit, rule))


def _hours(hours: Fraction) -> Term:
    return Term("Hours", Figure(hours, "h", "standard times × counts"))


def _exact(used: Figure) -> Fraction:
    assert isinstance(used.value, (Fraction, int))
    return Fraction(used.value)


def _amount(line: Term) -> Decimal:
    assert isinstance(line.figure.value, Decimal)
    return line.figure.value
