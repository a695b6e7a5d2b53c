"""The door to the planner for parcels: the box a piece asks for, and what the carrier's tariff makes of it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planner.errors import PlannerError
from planner.measures import Length, round_half_up
from planner.pricing import Parcel, carriage_of, parcel_of
from shopapp.listings.pieces.facts import PieceFacts
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import carrier_of, packing_of

GRAMS_PER_KG = 1000


@dataclass(frozen=True)
class Box:
    """Outside sizes, the longest first, and what it weighs with the packing, None where the board's mass is not
    known. ``carriage`` is a figure's record of what the tariff asks, ``trouble`` says why there is none."""

    sizes: tuple[Length, Length, Length]
    grams: int | None
    carriage: dict[str, Any] | None
    trouble: str = ""


def box_for(told: PieceFacts, shop: Workshop) -> Box | None:
    """None where nothing is known of the piece's size."""
    if told.size is None:
        return None
    finished = tuple(Length.from_nm(side) for side in told.size)
    # A mass is asked for to make a parcel; where it is not known a kilogram stands in, and is told nowhere.
    parcel = parcel_of(finished, Fraction(told.grams or GRAMS_PER_KG, GRAMS_PER_KG), packing_of(shop))
    sizes = (parcel.long, parcel.wide, parcel.high)
    if told.grams is None:
        return Box(sizes, None, None, "What it weighs is not known. Weigh it in its box.")
    grams = int(round_half_up(parcel.mass_kg * GRAMS_PER_KG, 0))
    return Box(sizes, grams, *_carriage(parcel, shop))


def carriage_asked(sizes: tuple[Length, Length, Length], grams: int, shop: Workshop) -> tuple[dict | None, str]:
    """What the tariff asks for a box as it was measured and weighed; else why it does not tell."""
    long, wide, high = sorted(sizes, reverse=True)
    return _carriage(Parcel(long, wide, high, Fraction(grams, GRAMS_PER_KG)), shop)


def _carriage(parcel: Parcel, shop: Workshop) -> tuple[dict[str, Any] | None, str]:
    carrier = carrier_of(shop)
    if carrier is None:
        return None, "No carrier’s tariff is written in the settings."
    try:
        return carriage_of(parcel, carrier).as_record(), ""
    except PlannerError as error:
        return None, str(error)
