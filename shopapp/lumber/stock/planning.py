"""The door to the planner for stock: volumes, tallies, what a delivery cost, shares to the coin."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from planner.lotcost import PER, Charge, LineCost, delivery_costs, goods_of, shared
from planner.measures import Length, area_mm2, board_feet, round_half_up, volume_mm3
from planner.tally import BoardSize, Tallied, TallyRule, tally
from planner.woods import wood
from planner.woods.mass import AIR_DRY, mass_kg

__all__ = [
    "PER",
    "BoardSize",
    "Charge",
    "LineCost",
    "Tallied",
    "TallyRule",
    "area_mm2",
    "board_feet",
    "delivery_costs",
    "goods_of",
    "mass_of",
    "shared",
    "shared_by_volume",
    "tally",
    "volume",
    "worth_of_share",
]


class Sized(Protocol):
    thickness: Length
    width: Length
    length: Length


def volume(piece: Sized) -> Fraction:
    """Cubic millimetres, exact."""
    return volume_mm3(piece.thickness, piece.width, piece.length)


def mass_of(wood_id: str, boards: BoardSize, moisture: Decimal | None) -> Fraction | None:
    """Kilograms that boards alike weigh at ``moisture`` percent, air dry where it was not read; None for a wood whose
    density was not found."""
    return mass_kg(wood(wood_id), volume(boards) * boards.count, AIR_DRY if moisture is None else Fraction(moisture))


def shared_by_volume(worth: Decimal, parts: Sequence[Sized], exponent: int) -> tuple[Decimal, ...]:
    """A worth shared among parts by their volume, to the coin; a worth finer than the coin keeps its rest in the
    first part, so that nothing is lost."""
    coin = Decimal(1).scaleb(-exponent)
    whole = worth // coin * coin
    first, *others = shared(whole, [volume(part) for part in parts], exponent)
    return (first + worth - whole, *others)


def worth_of_share(worth: Decimal, part: Sized, whole: Sized, exponent: int) -> Decimal:
    """What ``part`` of ``whole`` is worth, rounded to the coin and never more than the whole."""
    return min(worth, round_half_up(Fraction(worth) * volume(part) / volume(whole), exponent))
