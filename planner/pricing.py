"""What a board costs, the smallest price that meets what the maker wants of it, and what an hour earned.

Money is Decimal, worked out in exact fractions and rounded once a line, a half up. Fees are rounded by the
channel that takes them, so the price is defined by what is left after those roundings, not by a formula alone:
the smallest price on the grid whose settled profit meets the target.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from planner.errors import PlannerError
from planner.figures import Figure, Term
from planner.measures import round_half_up

NOUGHT = Decimal(0)


class NoPrice(PlannerError):
    """No price exists: fees, with the tax they are taken on, and the margin take all of it."""


@dataclass(frozen=True, slots=True)
class Fee:
    """One fee of a channel: ``percent`` (a share) of the item, and of carriage and tax where it says so, plus
    ``fixed``; not below ``minimum`` and not above ``cap``."""

    percent: Fraction = Fraction(0)
    fixed: Decimal = NOUGHT
    on_carriage: bool = True
    on_tax: bool = False
    name: str = "fee"
    minimum: Decimal | None = None
    cap: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """How a board is sold. ``tax`` is a share, included in the price or added to it; a maker who is not
    registered has none. ``margin`` is the share of the net price to keep, ``profit`` money on top of it.
    ``ending`` asks for a price that ends so, like 9.00, on a grid of ``ending_step``."""

    fees: tuple[Fee, ...] = ()
    tax: Fraction = Fraction(0)
    tax_included: bool = False
    margin: Fraction = Fraction(0)
    profit: Decimal = NOUGHT
    carriage_paid: Decimal = NOUGHT
    carriage_charged: Decimal = NOUGHT
    exponent: int = 2
    ending: Decimal | None = None
    ending_step: Decimal = Decimal(10)


@dataclass(frozen=True, slots=True)
class Settlement:
    """What one sale comes to. ``margin`` and ``markup`` are None where there is nothing to divide by."""

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
    """Settle one sale at list ``price``.

    >>> fees = (Fee(Fraction("0.065")), Fee(Fraction("0.03"), Decimal("0.30")))
    >>> terms = Terms(fees, carriage_paid=Decimal(12), margin=Fraction(1, 4))
    >>> settle(Decimal("201.99"), Decimal(120), terms).profit
    Decimal('50.50')
    """
    item, carriage = Fraction(price), Fraction(terms.carriage_charged)
    if terms.tax_included:
        gross = item + carriage
        tax = round_half_up(gross - gross / (1 + terms.tax), terms.exponent)
        net_item, net_carriage, buyer = item / (1 + terms.tax), carriage / (1 + terms.tax), gross
    else:
        tax = round_half_up((item + carriage) * terms.tax, terms.exponent)
        net_item, net_carriage, buyer = item, carriage, item + carriage + Fraction(tax)
    fees = tuple(_fee(fee, net_item, net_carriage, terms) for fee in terms.fees)
    proceeds = buyer - Fraction(tax) - sum((Fraction(f) for f in fees), Fraction(0))
    profit = round_half_up(proceeds - Fraction(terms.carriage_paid) - Fraction(cost), terms.exponent)
    whole = Fraction(cost) + Fraction(terms.carriage_paid)
    return Settlement(
        price,
        net_item,
        net_carriage,
        tax,
        round_half_up(buyer, terms.exponent),
        fees,
        round_half_up(proceeds, terms.exponent),
        profit,
        Fraction(profit) / net_item if net_item else None,
        Fraction(profit) / whole if whole else None,
    )


def _fee(fee: Fee, net_item: Fraction, net_carriage: Fraction, terms: Terms) -> Decimal:
    base = net_item + (net_carriage if fee.on_carriage else 0)
    if fee.on_tax:
        base *= 1 + terms.tax
    amount = round_half_up(base * fee.percent + Fraction(fee.fixed), terms.exponent)
    if fee.minimum is not None:
        amount = max(amount, fee.minimum)
    return amount if fee.cap is None else min(amount, fee.cap)


def share_left(terms: Terms) -> Fraction:
    """What of each 1 of net price is left after the fees' shares and the margin; no price exists at 0 or less."""
    return 1 - sum((_weight(fee, terms) for fee in terms.fees if fee.cap is None), Fraction(0)) - terms.margin


def _weight(fee: Fee, terms: Terms) -> Fraction:
    return fee.percent * (1 + terms.tax if fee.on_tax else 1)


def closed_form(cost: Decimal, terms: Terms) -> Fraction:
    """The net price were nothing rounded:
    (cost + carriage paid + profit + fixed fees + fees on carriage − carriage charged) ÷ (1 − fees − margin).

    Fee minimums and caps are left out. Raises NoPrice.
    """
    left = share_left(terms)
    if left <= 0:
        raise _no_price(terms)
    carriage = Fraction(terms.carriage_charged) / (1 + terms.tax if terms.tax_included else 1)
    needed = Fraction(cost) + Fraction(terms.carriage_paid) + Fraction(terms.profit) - carriage
    for fee in terms.fees:
        needed += Fraction(fee.fixed) + (carriage * _weight(fee, terms) if fee.on_carriage else 0)
    return needed / left


def _no_price(terms: Terms) -> NoPrice:
    shares = [f"{_percent(_weight(fee, terms))} {fee.name}" for fee in terms.fees if fee.percent]
    if terms.margin:
        shares.append(f"{_percent(terms.margin)} margin")
    total = 1 - share_left(terms)
    return NoPrice(
        f"No price exists: {' + '.join(shares)} take {_percent(total)} of it and leave nothing for the cost.",
        mend="Ask a smaller margin, or sell where the fees are lower.",
        field="margin",
    )


def _percent(share: Fraction) -> str:
    text = f"{round_half_up(share * 100, 2):f}"
    return f"{text.rstrip('0').rstrip('.')} %"


def price_for(cost: Decimal, terms: Terms) -> Decimal:
    """The smallest list price whose settled profit is at least ``profit + margin × net price``.

    Raises NoPrice where the shares leave nothing.

    >>> price_for(Decimal(120), Terms(margin=Fraction("0.4")))
    Decimal('200.00')
    """
    step, offset = _grid(terms)
    gross = 1 + terms.tax if terms.tax_included else Fraction(1)
    free = replace(terms, fees=tuple(f for f in terms.fees))
    start = closed_form(cost, free) * gross
    # Every fee, the tax and the profit may each round by half a unit; starting lower than all of them together
    # could matter is needed because the passing prices need not be one unbroken range near the edge.
    slack = Fraction(len(terms.fees) + 3, 2) * Fraction(10) ** -terms.exponent / share_left(terms) * gross
    floor = start - slack - sum((Fraction(f.fixed) for f in terms.fees if f.cap is not None), Fraction(0))
    if any(fee.cap is not None for fee in terms.fees):
        floor = min(floor, Fraction(cost))
    number = max(0, -(-(floor - offset) // step))
    if _has_limits(terms):
        number = _first_passing(cost, terms, step, offset, number)
    while True:
        price = _on_grid(number, step, offset, terms.exponent)
        if price >= 0 and _meets(price, cost, terms):
            return price
        number += 1


def _first_passing(cost: Decimal, terms: Terms, step: Fraction, offset: Fraction, low: int) -> int:
    """With a fee's minimum or cap the closed form may be far off: bisect to a few steps below the edge."""

    def passes(number: int) -> bool:
        return _meets(_on_grid(number, step, offset, terms.exponent), cost, terms)

    width = 1
    while not passes(low + width):
        width *= 2
        if width > 10**12:
            raise _no_price(terms)
    high, bottom = low + width, low
    while high - bottom > 1:
        middle = (high + bottom) // 2
        if passes(middle):
            high = middle
        else:
            bottom = middle
    return max(low, high - 4 * (len(terms.fees) + 3) - int(1 / share_left(terms)))


def _has_limits(terms: Terms) -> bool:
    return any(fee.minimum is not None or fee.cap is not None for fee in terms.fees)


def _grid(terms: Terms) -> tuple[Fraction, Fraction]:
    if terms.ending is None:
        return Fraction(10) ** -terms.exponent, Fraction(0)
    return Fraction(terms.ending_step), Fraction(terms.ending)


def _on_grid(number: int, step: Fraction, offset: Fraction, exponent: int) -> Decimal:
    return round_half_up(number * step + offset, exponent)


def _meets(price: Decimal, cost: Decimal, terms: Terms) -> bool:
    deal = settle(price, cost, terms)
    return Fraction(deal.profit) >= Fraction(terms.profit) + terms.margin * deal.net_item


def break_even(cost: Decimal, terms: Terms) -> Decimal:
    """The smallest price that loses nothing, whatever its ending."""
    return price_for(cost, replace(terms, margin=Fraction(0), profit=NOUGHT, ending=None))


def wage(price: Decimal, other_cost: Decimal, hours: Fraction, terms: Terms) -> Decimal | None:
    """What an hour earns at ``price``: (proceeds − carriage − every cost but labour) ÷ hours; None without hours."""
    if hours <= 0:
        return None
    deal = settle(price, other_cost, terms)
    return round_half_up(
        (Fraction(deal.proceeds) - Fraction(terms.carriage_paid) - Fraction(other_cost)) / hours,
        terms.exponent,
    )


# --- what a board costs -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Rates:
    """The maker's own rates. The defaults are assumptions from memory: spread and use come from data sheets,
    prices from the maker's receipts."""

    hour: Decimal = Decimal(20)
    overhead_hour: Decimal = Decimal("3.50")
    # Grams of glue on each square metre of joint, what is lost on top, and its price.
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
    # Share of finished boards lost and made again; cost ÷ (1 − share) covers it.
    reserve: Fraction = Fraction(4, 100)
    exponent: int = 2


@dataclass(frozen=True, slots=True)
class WoodCost:
    """``amount`` of a wood at ``price`` per ``unit`` ("bf" or "m3")."""

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
    """What ``quantity`` boards cost to make, a term a line, each line rounded once.

    ``finished_area_m2`` is what is oiled and, unless ``abrasive_area_m2`` says else, sanded. Raises NoPrice
    where the reserve is the whole.
    """
    if rates.reserve >= 1:
        raise NoPrice("A reserve of 100 % or more can never be covered.", mend="Write a smaller one.", field="reserve")
    sanded = finished_area_m2 if abrasive_area_m2 is None else abrasive_area_m2
    discs = -(-(rates.grits * sanded) // rates.abrasive_m2_each)
    settings = "the workshop's settings"
    lines = [
        Term(
            wood.name,
            _money(
                wood.amount * Fraction(wood.price),
                f"what is sawn × price per {wood.unit}",
                rates,
                _number("Sawn", wood.amount, wood.unit),
                _price(wood.price, wood.unit),
            ),
        )
        for wood in woods
    ]
    lines += [
        Term("Glue", _money(
            glue_area_m2 * rates.glue_g_per_m2 / 1000 * (1 + rates.glue_loss) * Fraction(rates.glue_per_kg),
            "joint area × spread × (1 + loss) × price per kg", rates,
            _number("Joint area", glue_area_m2, "m2"), _number("Spread", rates.glue_g_per_m2, "g/m2", settings),
            _number("Loss", rates.glue_loss, "share", settings), _price(rates.glue_per_kg, "kg"))),
        Term("Abrasives", _money(
            discs * Fraction(rates.abrasive_price_each), "discs or sheets × price of one", rates,
            _number("Discs or sheets, grits × area ÷ area of one, rounded up", Fraction(discs), "pieces"),
            _price(rates.abrasive_price_each, "disc"))),
        Term("Finish", _money(
            finished_area_m2 * rates.finish_coats * rates.finish_l_per_m2 * Fraction(rates.finish_per_l),
            "area of both faces × coats × litres per m² × price per litre", rates,
            _number("Both faces", finished_area_m2, "m2"),
            _number("Coats", Fraction(rates.finish_coats), "coats", settings),
            _number("A coat takes", rates.finish_l_per_m2, "l/m2", settings), _price(rates.finish_per_l, "l"))),
        Term("Labour", _money(hours * Fraction(rates.hour), "hours × the maker's hour", rates,
                              _number("Hours", hours, "h"), _price(rates.hour, "h"))),
        Term("Overhead", _money(hours * Fraction(rates.overhead_hour), "hours × overhead an hour", rates,
                                _number("Hours", hours, "h"), _price(rates.overhead_hour, "h"))),
    ]  # fmt: skip
    made = sum((_amount(line) for line in lines), NOUGHT)
    lines.append(
        Term("Reserve for boards lost", _money(
            Fraction(made) / (1 - rates.reserve) - Fraction(made), "made ÷ (1 − share lost) − made", rates,
            _number("Share lost", rates.reserve, "share", settings)))
    )  # fmt: skip
    lines.append(
        Term("Packaging", _money(Fraction(rates.packaging) * quantity, "packaging of one × boards", rates,
                                 _price(rates.packaging, "board"))))  # fmt: skip
    total = sum((_amount(line) for line in lines), NOUGHT)
    return Figure(total, "money", "the lines added up", terms=tuple(lines))


def _money(exact: Fraction, rule: str, rates: Rates, *terms: Term) -> Figure:
    return Figure(round_half_up(exact, rates.exponent), "money", rule, terms=terms)


def _number(name: str, value: Fraction, unit: str, source: str = "") -> Term:
    return Term(name, Figure(value, unit, "", source))


def _price(price: Decimal, unit: str) -> Term:
    return Term(f"Price per {unit}", Figure(price, "money", "", "the workshop's settings"))


def _amount(line: Term) -> Decimal:
    assert isinstance(line.figure.value, Decimal)
    return line.figure.value
