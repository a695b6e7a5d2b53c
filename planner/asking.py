"""What to ask for a board: the price, what it does, and every figure of money with the terms that add up to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure, Term
from planner.length import decimals
from planner.measures import round_half_up
from planner.pricing import Fee, NoPrice, Settlement, Terms, break_even, price_for, price_warning, settle, wage
from planner.pricing.rates import SETTINGS


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


def ask(figures: Mapping[str, Figure], cost_all: Figure, quantity: int, terms: Terms) -> Asking:
    """The price of one board of ``quantity``; ``figures`` hold its "cost" and the "hours" for all."""
    cost = figures["cost"].value
    hours = figures["hours"].value
    assert isinstance(cost, Decimal) and isinstance(hours, Fraction)
    # From the end: a maker may call a wood "Labour".
    labour = next(term.figure.value for term in reversed(cost_all.terms) if term.name == "Labour")
    assert isinstance(labour, Decimal)
    other = cost - round_half_up(Fraction(labour) / quantity, terms.exponent)
    try:
        price = price_for(cost, terms)
        even = break_even(cost, terms)
    except NoPrice as error:
        return Asking(None, None, None, None, None, str(error))
    earned = wage(price, other, hours / quantity, terms)
    return Asking(price, settle(price, cost, terms), earned, other, even, warning=price_warning(terms))


def money_figures(asking: Asking, figures: Mapping[str, Figure], terms: Terms) -> dict[str, Figure]:
    """Every figure of money that a price brings, each with the terms that add up to it; none without a price."""
    if asking.price is None or asking.settlement is None or asking.break_even is None:
        return {}
    deal = asking.settlement
    paid = (
        _fees(deal, terms),
        *_tax_within(deal, terms),
        *_carriage_paid(terms),
    )
    charged = _carriage_charged(terms)
    kept = Term("Yours to keep", Figure(deal.profit, "money", "what is left"))
    cost = Term("Cost of a board", figures["cost"])
    less = " − carriage the buyer pays" if charged else ""
    found = {
        "price": Figure(
            asking.price,
            "money",
            f"{_asked_for(terms)}; it comes to cost + fees{' + tax' if terms.tax_included and terms.tax else ''}"
            f"{' + carriage paid' if terms.carriage_paid else ''} + what is yours{less}",
            terms=(cost, *paid, kept, *charged),
        ),
        "profit": kept.figure,
        "fees": paid[0].figure,
        "break_even": Figure(
            asking.break_even,
            "money",
            "the smallest price that loses nothing: reached as the price is, with no margin and whatever its ending",
        ),
    }
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


def _asked_for(terms: Terms) -> str:
    """In words, which of all prices is the one asked."""
    before = " before tax" if terms.tax_included and terms.tax else ""
    ending = "" if terms.ending is None else f" ending in {round_half_up(terms.ending, terms.exponent)}"
    margin = decimals(terms.margin * 100, 4)
    return f"the smallest price{ending} that leaves {margin} % of it{before} as yours, once every fee is rounded"


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
    return f"{decimals(fee.percent * 100, 4)} % of {base}{tax}{fixed}"


def _tax_within(deal: Settlement, terms: Terms) -> tuple[Term, ...]:
    if not terms.tax_included or not terms.tax:
        return ()
    rate = decimals(terms.tax * 100, 4)
    return (
        Term("Tax in the price", Figure(deal.tax, "money", f"{rate} % on price and carriage before tax", SETTINGS)),
    )


def _carriage_paid(terms: Terms) -> tuple[Term, ...]:
    if not terms.carriage_paid:
        return ()
    return (Term("Carriage paid", Figure(terms.carriage_paid, "money", "to the carrier", SETTINGS)),)


def _carriage_charged(terms: Terms) -> tuple[Term, ...]:
    if not terms.carriage_charged:
        return ()
    return (Term("Carriage the buyer pays", Figure(terms.carriage_charged, "money", "beside the price", SETTINGS)),)
