"""The lumber's one door to the planner: published woods, and woods on hand as the planner's offers and looks."""

from __future__ import annotations

from planner.drawing import MARKS, WoodLook, hex_of, plank_svg
from planner.reckoning import WoodOffer
from planner.shop import StockSize
from planner.woods import ANY_WOOD_DUST, WOODS, Caution, Wood, cautions_for

from .models import WoodOnHand

__all__ = [
    "ANY_WOOD_DUST",
    "MARKS",
    "WOODS",
    "Caution",
    "Wood",
    "food_cautions",
    "hex_of",
    "look_of",
    "looks_on_hand",
    "offers",
    "plank",
    "plank_of",
    "stand_in_plank",
]


def offers() -> dict[str, WoodOffer]:
    """Every wood on hand by its id, in the order of its name. One query."""
    return {row.wood: offer_of(row) for row in WoodOnHand.objects.filter(on_hand=True).order_by("name")}


def offer_of(row: WoodOnHand) -> WoodOffer:
    return WoodOffer(
        row.wood,
        row.name,
        row.rgb,
        row.mark,
        row.price,
        row.per,
        StockSize(row.rough_thickness, row.rough_width),
    )


def look_of(row: WoodOnHand) -> WoodLook:
    return WoodLook(row.name, row.rgb, row.mark)


def looks_on_hand() -> dict[str | None, WoodLook]:
    """Looks of every wood ever on hand, so that a pattern keeps its colours when a wood runs out. One query."""
    return {row.wood: look_of(row) for row in WoodOnHand.objects.all()}


def plank(row: WoodOnHand) -> str:
    return plank_svg(look_of(row))


def plank_of(look: WoodLook) -> str:
    return plank_svg(look)


def stand_in_plank(found: Wood) -> str:
    """A plank of a wood that is not on hand, in its stand-in colour and without a mark."""
    return plank_svg(WoodLook(found.name, found.finished_rgb, ""), mark=False)


def food_cautions(found: Wood) -> tuple[Caution, ...]:
    """What is to be known of a wood besides its other cautions when food lies on it."""
    return tuple(caution for caution in cautions_for(found, "serving") if caution not in found.cautions)
