"""The quotes' one door to the planner: what an option comes to, what goes into it, and what it leaves the maker."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from planner.figures import Figure
from planner.measures import format_length, round_half_up
from planner.pricing import OfferSums, PricingError, cost_lines, offer_sums, settle, wage_at
from planner.woods import WOODS
from shopapp.common.fields import plain_number
from shopapp.plans.forms import METHODS
from shopapp.plans.planning import hanging_size
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import terms_of


def sums_for(
    each: Decimal,
    boards: int,
    *,
    carriage: Decimal,
    tax: Fraction,
    tax_included: bool,
    deposit: Fraction,
    exponent: int,
) -> OfferSums:
    """What ``boards`` boards at ``each`` come to with carriage, tax, deposit and the rest. What was stored finer than
    the currency is paid in is taken to its coin."""
    return offer_sums(
        [(round_half_up(Fraction(each), exponent), boards)],
        round_half_up(Fraction(carriage), exponent),
        tax,
        tax_included,
        deposit,
        exponent,
    )


_TOLD_AS = {
    "wood": "Wood",
    "supplies": "Glue, abrasives, finish, hardware",
    "hardware": "Glue, abrasives, finish, hardware",
    "labour": "Hours",
}
_OF_THE_SHOP = "Workshop, packaging, reserve"


def goes_into(record: Mapping, whole: Decimal, exponent: int) -> list[tuple[str, Decimal]]:
    """What the price ``whole`` of all boards of a record is made up of, for the customer: lines that add up to it.
    The last is what selling, tax and the maker take, or what was left off. Empty for a record without such a cost."""
    try:
        lines = cost_lines(_cost_of_all(record))
    except (PricingError, KeyError):
        return []
    told: dict[str, Decimal] = {}
    for line in lines:
        name = _TOLD_AS.get(line.kind, _OF_THE_SHOP)
        told[name] = told.get(name, Decimal(0)) + round_half_up(Fraction(line.money), exponent)
    found = [(name, amount) for name, amount in told.items() if amount]
    rest = whole - sum((amount for _, amount in found), Decimal(0))
    if rest:
        found.append(("Selling it, and what is ours" if rest > 0 else "Left off", rest))
    return found


def _cost_of_all(record: Mapping) -> Figure:
    return Figure.from_record(dict(record["figures"]["cost_all"]))


def hours_of_all(record: Mapping) -> Fraction:
    return Fraction(record["figures"]["hours"]["value"][1])


@dataclass(frozen=True)
class Leaves:
    """What a deal leaves the maker: ``profit`` after cost, fees and tax, its ``margin`` of the net price, what an
    hour earns. None where it cannot be worked out."""

    profit: Decimal | None = None
    margin: Fraction | None = None
    hour: Decimal | None = None
    carriage_paid: Decimal = Decimal(0)


def leaves_the_maker(record: Mapping, price: Decimal, boards: int, carriage: Decimal, workshop: Workshop) -> Leaves:
    """At ``price`` each, sold as the workshop's settings say, all boards in one sale; where a tariff told what a board
    costs to send, each is a parcel of its own."""
    try:
        terms = replace(terms_of(workshop), carriage_charged=carriage)
        if sent := record["figures"].get("carriage"):
            terms = replace(terms, carriage_paid=Decimal(sent["value"][1]) * boards)
        cost = _cost_of_all(record)
        whole = price * boards
        assert isinstance(cost.value, Decimal)
        deal = settle(whole, cost.value, terms)
        return Leaves(deal.profit, deal.margin, wage_at(whole, cost, terms, hours_of_all(record)), terms.carriage_paid)
    except (PricingError, KeyError):
        return Leaves()


def scientific_name(wood: str) -> str:
    """Empty for a wood that is in no table."""
    return WOODS[wood].scientific_name if wood in WOODS else ""


def hours_said(record: Mapping) -> str:
    """The likely hours of all boards, as a number with a decimal."""
    return plain_number(hours_of_all(record), 1)


_ONE = "one board"


def plan_words(record: Mapping, unit: str) -> str:
    """Size, boards, method and woods of a plan in a line."""
    return ", ".join(words for words in _kinds_of_words(record, unit) if words != _ONE)


def told_apart(record: Mapping, others: Sequence[Mapping], unit: str) -> str:
    """What tells a board from others of its picture, to follow its name; empty where there are none, or nothing
    does."""
    own = _kinds_of_words(record, unit)
    for n, words in enumerate(own):
        if others and all(_kinds_of_words(other, unit)[n] != words for other in others):
            return f", {words}"
    return ""


def _kinds_of_words(record: Mapping, unit: str) -> tuple[str, ...]:
    wide, high = (format_length(size, unit) for size in hanging_size(record))
    boards = record["spec"]["quantity"]
    method = dict(METHODS).get(record["spec"]["method"], record["spec"]["method"])
    woods = ", ".join(wood["name"] for wood in record["woods"])
    return f"{wide} by {high}", f"{boards} boards" if boards > 1 else _ONE, method, woods
