"""How much wood in the unit a yard sells it by, what that cost before, and two rules of thumb told apart."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil

from planner.cutting.buying.terms import BoughtBefore, CostRange, PriceRange
from planner.figures import Figure, Term
from planner.measures import Length, board_feet, cubic_metres, round_half_up, square_metres
from planner.woods import WOODS
from planner.woods.mass import density

UNITS = ("bf", "m3", "sqft", "m2", "m", "kg", "piece")
_SQUARE_FOOT = Length.of_inches(12).mm ** 2
# "30 per cent waste" of what is bought, and 30 % added to what is needed: the trap is described at woodweb.com,
# "Woodshop Waste Percentage" and "Calculating Waste from Rough Lumber".
TRAP = "woodweb.com, Calculating Waste from Rough Lumber"
_RULES = {
    "bf": "volume at the nominal thickness ÷ 144 cubic inches",
    "m3": "volume at the nominal thickness",
    "sqft": "area of the faces, in square feet",
    "m2": "area of the faces",
    "m": "area ÷ width of such a board",
    "kg": "volume × density of the wood, dry in the air",
    "piece": "volume ÷ volume of one such board, whole boards",
}


def sold_by(per: str, wood: str) -> str:
    """The unit, or cubic metres where the wood's density is not known and it cannot be weighed beforehand."""
    if per == "kg" and _density(wood) is None:
        return "m3"
    return per


def amount(volume: Fraction, per: str, nominal: Length, width: Length, length: Length, wood: str) -> Fraction:
    """``volume`` mm³ of boards ``nominal`` thick, ``width`` wide and ``length`` long in the unit they are sold by, one
    of UNITS. As measured: a yard's own tally may round each board.

    >>> inch = Length.of_inches
    >>> amount(Fraction(144) * inch(1).mm ** 3, "bf", inch(1), inch(6), inch(96), "sycamore")
    Fraction(1, 1)
    """
    area = volume / nominal.mm
    if per == "bf":
        return board_feet(volume)
    if per == "sqft":
        return area / _SQUARE_FOOT
    if per == "m2":
        return square_metres(area)
    if per == "m":
        return area / width.mm / 1000
    if per == "piece":
        return Fraction(ceil(area / (width.mm * length.mm)))
    if per == "kg" and (heavy := _density(wood)) is not None:
        return heavy * volume / 10**9
    return cubic_metres(volume)


def rule_of(per: str) -> str:
    return _RULES[per]


def _density(wood: str) -> Fraction | None:
    return density(WOODS[wood]) if wood in WOODS else None


def ranges_of(past: Sequence[BoughtBefore]) -> dict[tuple[str, Length, str], PriceRange]:
    """Least, median and most of what was paid, by wood, nominal thickness and unit; every lot counts once.

    >>> from decimal import Decimal
    >>> inch = Length.of_inches(1)
    >>> lots = [BoughtBefore("ash", inch, inch, inch, inch, price=Decimal(p)) for p in ("4", "9", "5")]
    >>> found = ranges_of(lots)["ash", inch, "bf"]
    >>> [str(price) for price in (found.least, found.median, found.most)], found.times
    (['4', '5', '9'], 3)
    """
    prices = defaultdict(list)
    for lot in past:
        if lot.price > 0:
            prices[lot.wood, lot.nominal, lot.per].append(lot.price)
    found = {}
    for key, paid in prices.items():
        paid.sort()
        low, high = paid[(len(paid) - 1) // 2], paid[len(paid) // 2]
        found[key] = PriceRange(key[2], paid[0], (low + high) / 2, paid[-1], len(paid))
    return found


def cost_of(quantity: Figure, prices: PriceRange, exponent: int) -> CostRange:
    """The quantity at the least, the median and the most that was paid."""
    assert isinstance(quantity.value, Fraction)
    wanted = quantity.value
    source = f"from {prices.times} {'purchase' if prices.times == 1 else 'purchases'} in the book"

    def at(called: str, price: Decimal) -> Figure:
        return Figure(
            round_half_up(wanted * Fraction(price), exponent),
            "money",
            f"amount × the {called} price paid before",
            source,
            (
                Term("Amount", quantity),
                Term(f"Price, {called}", Figure(price, "money", f"for one {prices.per}", source)),
            ),
        )

    return CostRange(at("least", prices.least), at("median", prices.median), at("greatest", prices.most))


def losing(net: Figure, share: Fraction) -> Figure:
    """What to buy where ``share`` of what is bought is lost: net ÷ (1 - share). "30 % waste" is net ÷ 0.70, 142.9 %.

    >>> losing(Figure(Fraction(7), "bf", "net"), Fraction(3, 10)).value
    Fraction(10, 1)
    """
    assert isinstance(net.value, Fraction)
    percent = _percent(share)
    return Figure(
        net.value / (1 - share),
        net.unit,
        f"{percent} waste: of what is bought {percent} is lost, so net ÷ {_decimal(1 - share)}",
        TRAP,
        (Term("Net", net), Term("Lost, of what is bought", Figure(share, "share", "as the maker reckons"))),
    )


def adding(net: Figure, share: Fraction) -> Figure:
    """What to buy where ``share`` of the net is added: net × (1 + share). "Add 30 %" loses 23 % of what is bought.

    >>> adding(Figure(Fraction(10), "bf", "net"), Fraction(3, 10)).value
    Fraction(13, 1)
    """
    assert isinstance(net.value, Fraction)
    lost = share / (1 + share)
    return Figure(
        net.value * (1 + share),
        net.unit,
        f"add {_percent(share)}: net × {_decimal(1 + share)}, which allows for only {_percent(lost)} waste",
        TRAP,
        (Term("Net", net), Term("Added, of the net", Figure(share, "share", "as the maker reckons"))),
    )


def _percent(share: Fraction) -> str:
    return f"{round_half_up(share * 100, 0)} %"


def _decimal(value: Fraction) -> str:
    return f"{round_half_up(value, 2)}"
