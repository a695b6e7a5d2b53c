"""The door to the planner for what is cut again: a kept plan and counts in, strips and their wood out."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from planner.cutting.fromshop import yields_of
from planner.cutting.fromshop.checks import across_of, clear_of
from planner.cutting.lumber import CuttingError
from planner.cutting.recut import (
    Alike,
    Count,
    Section,
    as_made,
    parts_alike,
    record_again,
    spares_left,
    still_to_cut,
    strips_again,
    worth_of,
)
from shopapp.plans.cutting.planning import piece_of
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

__all__ = [
    "Alike",
    "Count",
    "CuttingError",
    "Section",
    "alike_in",
    "as_made",
    "gives",
    "record_of",
    "spares_left",
    "still_to_cut",
    "strips_for",
    "worth",
]


def alike_in(plan) -> tuple[Alike, ...]:
    """The parts of a kept plan by size, with the spares it was reckoned with."""
    return _alike(plan.result, plan.inputs)


@lru_cache(maxsize=16)
def _alike(result: str, inputs: str) -> tuple[Alike, ...]:
    shop = json.loads(inputs)["shop"]
    return parts_alike(json.loads(result), Fraction(shop["spoil_rate"]), Fraction(shop["spare_confidence"]))


def record_of(record: Mapping, wanted: Sequence[tuple[Alike, int]]) -> dict:
    """A record that has nothing in it but what is cut again."""
    return record_again(record, wanted)


def strips_for(wanted: Sequence[tuple[Alike, int]], workshop: Workshop) -> tuple[Section, ...]:
    """Strips as this shop cuts now. Raises CuttingError where a part is longer than it rips."""
    return strips_again(wanted, shop_of(workshop))


def gives(section: Section, seen: Mapping, workshop: Workshop) -> bool:
    """Whether the longest strip of a section comes out of a piece of the rack (``plans.cutting.pieces.as_seen``), by
    the same measures as a cut plan asks."""
    shop, piece = shop_of(workshop), piece_of(seen)
    return (
        piece.wood == section.wood
        and yields_of(piece, shop) >= section.thickness
        and across_of(piece, shop) >= section.width
        and clear_of(piece, shop) >= max(strip.needed for strip in section.strips)
    )


def worth(section: Section, record: Mapping, decimals: int) -> dict:
    """What a section's wood costs at the plan's price, as a figure's record."""
    wood = next(one for one in record["woods"] if one["wood"] == section.wood)
    return worth_of(section, Decimal(wood["price"]), wood["per"], decimals).as_record()
