"""The door to the planner for the buying list: records, the rack and past purchases in, what to ask for out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.cutting.buying import (
    BoughtBefore,
    Buying,
    Likely,
    PastYield,
    Want,
    in_words,
    thickness_words,
    what_to_buy,
)
from planner.cutting.fromshop import named
from planner.cutting.plan import from_json
from planner.measures import Length, board_feet
from planner.shorts import Ranked, leftovers, ranked, shelves
from shopapp.lumber.models import Lot
from shopapp.plans.cutting.doing.planning import planned_offcuts
from shopapp.plans.cutting.planning import piece_of, wishes_of
from shopapp.plans.models import CutSheet, Plan
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

__all__ = [
    "BoughtBefore",
    "Buying",
    "PastYield",
    "becoming",
    "bought",
    "list_of",
    "net_feet",
    "past_yields",
    "shop_told",
    "thickness",
    "words_of",
]

_BOARD_FEET_OF_A_M3 = board_feet(Fraction(10**9))
_MM3_OF_A_BOARD_FOOT = Fraction(10**9) / _BOARD_FEET_OF_A_M3


def bought(lots: Iterable[Lot]) -> tuple[BoughtBefore, ...]:
    """Lots as past purchases. Tax that came on top is in the price; carriage is not."""
    return tuple(
        BoughtBefore(
            wood=lot.wood,
            nominal=lot.nominal_thickness,
            thickness=lot.thickness,
            width=lot.width,
            length=lot.length,
            surfaced=lot.surfaced,
            per=lot.per,
            price=lot.price * (1 if lot.delivery.tax_included else 1 + _decimal(lot.delivery.tax)),
            count=lot.count,
        )
        for lot in lots
    )


def _decimal(share: Fraction) -> Decimal:
    return Decimal(share.numerator) / Decimal(share.denominator)


def list_of(
    wants: Sequence[tuple[str, Mapping]],
    workshop: Workshop,
    rack: Iterable[Mapping],
    past: Sequence[BoughtBefore],
    yields: Mapping[str, PastYield],
    waste: Fraction,
) -> Buying:
    """Raises CutPlanError for what no purchase mends."""
    return what_to_buy(
        [Want(label, record) for label, record in wants],
        shop_of(workshop),
        [piece_of(one) for one in rack],
        past,
        yields=yields,
        waste=waste,
        exponent=workshop.currency_exponent,
    )


def net_feet(record: Mapping) -> dict[str, Fraction]:
    """Board feet of each wood that stay in all boards of a record."""
    found = {}
    for wood in record["woods"]:
        figure = wood["net"]
        value = Fraction(figure["value"][1])
        found[wood["wood"]] = value if figure["unit"] == "bf" else value * _BOARD_FEET_OF_A_M3
    return found


def past_yields(jobs: Iterable[tuple[Mapping[str, Fraction], Mapping[str, Fraction]]]) -> dict[str, PastYield]:
    """By wood, from (net, taken less what came back) of finished jobs, both in board feet. A job of which less was
    taken through the book than stayed in its boards tells nothing of that wood."""
    told: dict[str, list[tuple[Fraction, Fraction]]] = {}
    for stayed, taken in jobs:
        for wood, feet in stayed.items():
            if 0 < feet <= taken.get(wood, Fraction(0)):
                told.setdefault(wood, []).append((feet, taken[wood]))
    return {
        wood: PastYield(
            sum((net for net, _ in both), Fraction(0)) * _MM3_OF_A_BOARD_FOOT,
            sum((gross for _, gross in both), Fraction(0)) * _MM3_OF_A_BOARD_FOOT,
            len(both),
        )
        for wood, both in told.items()
    }


def shop_told(workshop: Workshop) -> str:
    """All the planner knows of the shop, as text: what is worked out changes with it, and with the currency."""
    return f"{shop_of(workshop)} {workshop.currency_symbol} {workshop.currency_exponent}"


def words_of(likely: Likely, workshop: Workshop) -> str:
    """Boards to ask for, as it is said at a yard."""
    return in_words(likely, shop_of(workshop))


def thickness(nominal: Length, workshop: Workshop) -> str:
    return thickness_words(nominal, shop_of(workshop))


@dataclass(frozen=True)
class Becoming:
    """What the planned offcuts of kept cut plans become: how many there will be, and the designs in order."""

    offcuts: int
    designs: list[tuple[Plan, Ranked]]


def becoming(
    sheets: Sequence[tuple[CutSheet, Set[tuple[str, int, str, int]]]], plans: Mapping[int, Plan], workshop: Workshop
) -> Becoming:
    """Offcuts the sheets plan to keep and that did not come back yet (beside each sheet, those that are settled),
    looked at like shorts that lie there already, and the plans ranked by them."""
    shop, pieces = shop_of(workshop), []
    for sheet, settled in sheets:
        file = from_json(sheet.form)
        seen: Counter[tuple[str, int, str]] = Counter()
        waiting = []
        for one in planned_offcuts(file):
            seen[one.board, one.rough, one.kind] += 1
            if (one.board, one.rough + 1, one.kind, seen[one.board, one.rough, one.kind]) not in settled:
                waiting.append(one)
        rack = named([piece_of(one) for one in sheet.pieces], wishes_of(sheet.wishes))
        pieces += leftovers(waiting, file, rack, shop, first_key=-1 - len(pieces))
    there = shelves([one.as_piece for one in pieces], shop)
    order = ranked([(pk, plan.record) for pk, plan in plans.items()], there, shop, workshop.currency_exponent)
    return Becoming(len(pieces), [(plans[one.key], one) for one in order])
