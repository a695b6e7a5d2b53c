"""What to ask for a board: the price, what it does, and every figure of money with the terms that add up to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.length import decimals
from planner.measures import Length, round_half_up
from planner.pricing import (
    Carrier,
    Fee,
    NoPrice,
    Packing,
    PricingError,
    Settlement,
    Target,
    Terms,
    break_even,
    carriage_of,
    parcel_of,
    price_for,
    price_warning,
    settle,
    terms_for,
    wage,
)
from planner.pricing.rates import SETTINGS


@dataclass(frozen=True, slots=True)
class Selling:
    """How a board is sold: by ``terms``, for what is asked in ``target`` (left out, the margin and profit the terms
    have), sent by a ``carrier`` with a tariff in ``packing``; without a carrier carriage is the sum the terms have."""

    terms: Terms
    target: Target | None = None
    carrier: Carrier | None = None
    packing: Packing | None = None


@dataclass(frozen=True, slots=True)
class Sent:
    """What the carrier asks for one board: a figure, or in ``trouble`` why the tariff does not tell; neither where
    there is no tariff."""

    carriage: Figure | None = None
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Asking:
    """A price and what it does, or in ``no_price`` why there is none."""

    price: Decimal | None
    settlement: Settlement | None
    hour_earns: Decimal | None
    other_cost: Decimal | None
    break_even: Decimal | None
    no_price: str = ""
    warning: str = ""
    cash_floor: Decimal | None = None
    # Whether somebody named the price, whatever it leaves.
    named: bool = False


def send(figures: Mapping[str, Figure], mass: Figure | None, selling: Selling) -> Sent:
    """What it costs to send one board of ``figures`` ("finished_length", "finished_height", "thickness") that weighs
    ``mass``, by the carrier's tariff. Where the tariff does not tell, the sum written beside it counts, and why is
    said."""
    if selling.carrier is None or not selling.carrier.tariff:
        return Sent()
    sizes = [figures[name].value for name in ("finished_length", "finished_height", "thickness")]
    weight = None if mass is None else mass.value
    assert all(isinstance(size, Length) for size in sizes) and not isinstance(weight, Length)
    try:
        kilograms = None if weight is None else Fraction(weight)
        parcel = parcel_of([size for size in sizes if isinstance(size, Length)], kilograms, selling.packing)
        return Sent(carriage_of(parcel, selling.carrier))
    except PricingError as error:
        paid = round_half_up(selling.terms.carriage_paid, selling.terms.exponent)
        return Sent(trouble=f"Carriage is the {paid} written in the settings, for the tariff does not tell it. {error}")


def settled_terms(selling: Selling, sent: Sent, cost: Decimal) -> Terms:
    """The terms one board that cost ``cost`` is sold on: what is asked and what the carrier is paid filled in."""
    terms = selling.terms
    if sent.carriage is not None:
        assert isinstance(sent.carriage.value, Decimal)
        terms = replace(terms, carriage_paid=sent.carriage.value)
    return terms if selling.target is None else terms_for(selling.target, cost, terms)


def ask(
    figures: Mapping[str, Figure], cost_all: Figure, quantity: int, terms: Terms, *, at: Decimal | None = None
) -> Asking:
    """The price of one board of ``quantity``; ``figures`` hold its "cost" and the "hours" for all. ``at`` is a price
    somebody names instead of the smallest that is enough; then there is one, whatever it leaves."""
    cost = figures["cost"].value
    hours = figures["hours"].value
    assert isinstance(cost, Decimal) and isinstance(hours, Fraction)
    # From the end: a maker may call a wood "Labour".
    labour = next(term.figure.value for term in reversed(cost_all.terms) if term.name == "Labour")
    assert isinstance(labour, Decimal)
    other = cost - round_half_up(Fraction(labour) / quantity, terms.exponent)
    if at is not None:
        earned = wage(at, other, hours / quantity, terms)
        even, floor = _floors(cost, other, terms)
        return Asking(at, settle(at, cost, terms), earned, other, even, cash_floor=floor, named=True)
    try:
        price = price_for(cost, terms)
        even = break_even(cost, terms)
        floor = break_even(other, terms)
    except NoPrice as error:
        return Asking(None, None, None, None, None, str(error))
    earned = wage(price, other, hours / quantity, terms)
    return Asking(price, settle(price, cost, terms), earned, other, even, "", price_warning(terms), floor)


def _floors(cost: Decimal, other: Decimal, terms: Terms) -> tuple[Decimal | None, Decimal | None]:
    """Break-even and cash floor; None for both where fees take all of every price."""
    try:
        return break_even(cost, terms), break_even(other, terms)
    except NoPrice:
        return None, None


def money_figures(
    asking: Asking, figures: Mapping[str, Figure], terms: Terms, target: Target | None = None
) -> dict[str, Figure]:
    """Every figure of money that a price brings, each with the terms that add up to it; none without a price.
    ``figures`` hold "carriage" where a tariff told it."""
    if asking.price is None or asking.settlement is None:
        return {}
    deal = asking.settlement
    paid = (
        _fees(deal, terms),
        *_tax_within(deal, terms),
        *_carriage_paid(terms, figures.get("carriage")),
    )
    charged = _carriage_charged(terms)
    kept = Term("Yours to keep", Figure(deal.profit, "money", "what is left"))
    cost = Term("Cost of a board", figures["cost"])
    less = " − carriage the buyer pays" if charged else ""
    taxed = " + tax" if terms.tax_included and terms.tax else ""
    found = {
        "price": Figure(
            asking.price,
            "money",
            f"{'as named' if asking.named else _asked_for(terms, target)}; it comes to cost + fees{taxed}"
            f"{' + carriage paid' if terms.carriage_paid else ''} + what is yours{less}",
            terms=(cost, *paid, kept, *charged),
        ),
        "profit": kept.figure,
        "fees": paid[0].figure,
    }
    if asking.break_even is not None:
        found["break_even"] = Figure(
            asking.break_even,
            "money",
            "the smallest price that loses nothing: reached as the price is, with no margin and whatever its ending",
        )
    if asking.cash_floor is not None and asking.other_cost is not None:
        found["cash_floor"] = Figure(
            asking.cash_floor,
            "money",
            "the smallest price that covers everything but your hours: below it you pay for the board to leave",
            terms=(Term("Every cost but labour", Figure(asking.other_cost, "money", "cost of a board − its labour")),),
        )
    found |= _shares_kept(deal, kept, cost)
    price = Term("Price", Figure(asking.price, "money", "without carriage"))
    if deal.buyer_pays != asking.price:
        added = (
            () if terms.tax_included else (Term("Tax", Figure(deal.tax, "money", "on price and carriage", SETTINGS)),)
        )
        found["buyer_pays"] = Figure(
            deal.buyer_pays,
            "money",
            "price + carriage" + (" + tax on both" if added else ", tax included in both" if terms.tax else ""),
            terms=(price, *charged, *added),
        )
    if asking.hour_earns is not None and asking.other_cost is not None:
        hours = figures.get("hours_each", figures["hours"])
        found["hour_earns"] = Figure(
            asking.hour_earns,
            "money",
            "(price"
            + (" + carriage the buyer pays" if charged else "")
            + " − fees and tax in it"
            + (" − carriage paid" if terms.carriage_paid else "")
            + " − every cost but labour) ÷ hours of one board",
            terms=(
                price,
                *charged,
                *paid,
                Term("Every cost but labour", Figure(asking.other_cost, "money", "cost of a board − its labour")),
                Term("Hours of one board", Figure(hours.value, "h", hours.rule)),
            ),
        )
    return found


def _shares_kept(deal: Settlement, kept: Term, cost: Term) -> dict[str, Figure]:
    """What is kept as a share of the price and as a share of the cost, where there is something to divide by."""
    found = {}
    if deal.margin is not None:
        net = Figure(round_half_up(deal.net_item, _decimals_of(deal.list_price)), "money", "without carriage")
        found["margin"] = Figure(
            deal.margin, "share", "yours ÷ price before tax", terms=(kept, Term("Price before tax", net))
        )
    if deal.markup is not None:
        found["markup"] = Figure(deal.markup, "share", "yours ÷ cost of a board", terms=(kept, cost))
    return found


def _decimals_of(amount: Decimal) -> int:
    exponent = amount.as_tuple().exponent
    return -exponent if isinstance(exponent, int) and exponent < 0 else 0


def _asked_for(terms: Terms, target: Target | None) -> str:
    """In words, which of all prices is the one asked."""
    before = " before tax" if terms.tax_included and terms.tax else ""
    ending = "" if terms.ending is None else f" ending in {round_half_up(terms.ending, terms.exponent)}"
    wanted = f"{decimals(terms.margin * 100, 4)} % of it{before}"
    if target is not None and target.kind == "markup":
        wanted = f"{decimals(target.amount * 100, 4)} % of the cost, {terms.profit},"
    elif target is not None and target.kind == "profit":
        wanted = f"{terms.profit}"
    return f"the smallest price{ending} that leaves {wanted} as yours, once every fee is rounded"


def _fees(deal: Settlement, terms: Terms) -> Term:
    lines = tuple(
        Term(
            fee.name,
            Figure(amount, "money", _fee_in_words(fee, terms), SETTINGS),
        )
        for fee, amount in zip(terms.fees, deal.fees, strict=True)
    )
    total = sum(deal.fees, Decimal(0))
    return Term("Fees", Figure(total, "money", "each on its own share, each rounded", SETTINGS, lines))


def _fee_in_words(fee: Fee, terms: Terms) -> str:
    base = "price and carriage" if fee.on_carriage and terms.carriage_charged else "price"
    tax = "" if not terms.tax else ", with tax" if fee.on_tax else " before tax"
    fixed = f" + {round_half_up(fee.fixed, terms.exponent)}" if fee.fixed else ""
    least = "" if fee.minimum is None else f", at least {round_half_up(fee.minimum, terms.exponent)}"
    most = "" if fee.cap is None else f", at most {round_half_up(fee.cap, terms.exponent)}"
    return f"{decimals(fee.percent * 100, 4)} % of {base}{tax}{fixed}{least}{most}"


def _tax_within(deal: Settlement, terms: Terms) -> tuple[Term, ...]:
    if not terms.tax_included or not terms.tax:
        return ()
    rate = decimals(terms.tax * 100, 4)
    return (
        Term("Tax in the price", Figure(deal.tax, "money", f"{rate} % on price and carriage before tax", SETTINGS)),
    )


def _carriage_paid(terms: Terms, told: Figure | None) -> tuple[Term, ...]:
    if not terms.carriage_paid:
        return ()
    return (Term("Carriage paid", told or Figure(terms.carriage_paid, "money", "to the carrier", SETTINGS)),)


def _carriage_charged(terms: Terms) -> tuple[Term, ...]:
    if not terms.carriage_charged:
        return ()
    return (Term("Carriage the buyer pays", Figure(terms.carriage_charged, "money", "beside the price", SETTINGS)),)
