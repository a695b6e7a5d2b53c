"""Where each unit of money goes that the buyer pays."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure
from planner.measures import round_half_up
from planner.pricing.costlines import cost_lines, money_of
from planner.pricing.sale import NOUGHT, Terms, settle

# The order in which shares are told: what goes into the board, what the work is paid, what selling it takes.
KINDS = (
    "wood", "supplies", "hardware", "labour", "overhead", "reserve", "packaging", "carriage", "fee", "tax", "rounding",
    "profit", "loss",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Share:
    """``money`` that goes to ``name``, and what ``share`` that is of all the buyer pays (nought where nothing is
    paid). ``kind`` is one of KINDS; a "loss" has both below nought, for the maker pays it."""

    name: str
    kind: str
    money: Decimal
    share: Fraction


def where_it_goes(cost: Figure, price: Decimal, terms: Terms) -> tuple[Share, ...]:
    """Every share of what the buyer pays at ``price``: they add up to ``Settlement.buyer_pays`` to the coin.

    ``cost`` is of one board, line by line, as ``made_cost`` or a reckoning has it. Carriage is what the carrier is
    paid, the tax is what is handed on, each fee stands by its name; last what is left, as a profit or a loss. Lines
    that come to nothing are left out. Amounts finer than a coin leave a line "Rounding" that says what they came to.
    """
    deal = settle(price, money_of(cost), terms)
    found = [(line.name, line.kind, line.money) for line in cost_lines(cost)]
    found += [
        ("Carriage", "carriage", round_half_up(terms.carriage_paid, terms.exponent)),
        *((fee.name, "fee", amount) for fee, amount in zip(terms.fees, deal.fees, strict=True)),
        ("Tax", "tax", deal.tax),
    ]
    kept = ("Loss", "loss", deal.profit) if deal.profit < 0 else ("Yours to keep", "profit", deal.profit)
    over = deal.buyer_pays - sum((money for _, _, money in found), kept[2])
    lines = [*found, ("Rounding", "rounding", over), kept]
    whole = Fraction(deal.buyer_pays)
    return tuple(
        Share(name, kind, money, Fraction(money) / whole if whole else Fraction(0))
        for name, kind, money in lines
        if money or kind == "profit"
    )


def by_kind(shares: Iterable[Share]) -> tuple[tuple[str, Decimal, Fraction], ...]:
    """What each kind comes to, in the order of KINDS: kind, money, share. Kinds of nothing are left out."""
    money: dict[str, Decimal] = {}
    part: dict[str, Fraction] = {}
    for share in shares:
        money[share.kind] = money.get(share.kind, NOUGHT) + share.money
        part[share.kind] = part.get(share.kind, Fraction(0)) + share.share
    return tuple((kind, money[kind], part[kind]) for kind in KINDS if kind in money)
