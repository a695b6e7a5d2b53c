"""The door to the planner for colours: a photo's small copy, and the colour of the wood beside the card in it."""

from __future__ import annotations

from planner.drawing import WoodLook, hex_of, plank_svg
from planner.sample import LONGEST_SHOWN, SampledColour, disc_radius, shown_copy, wood_colour
from planner.woods import WOODS
from shopapp.lumber.models import WoodOnHand

__all__ = [
    "LONGEST_SHOWN",
    "SampledColour",
    "disc_radius",
    "hex_of",
    "is_of_the_table",
    "plank_in",
    "shown_copy",
    "stand_in",
    "wood_colour",
]


def plank_in(row: WoodOnHand, rgb: str) -> str:
    """A plank of the wood as it looks in that colour, six digits after a #."""
    red, green, blue = bytes.fromhex(rgb.removeprefix("#"))
    return plank_svg(WoodLook(row.name, (red, green, blue), row.mark))


def is_of_the_table(wood_id: str) -> bool:
    return wood_id in WOODS


def stand_in(wood_id: str) -> str:
    """The colour a wood of the table is shown in before it has one of its own."""
    return hex_of(WOODS[wood_id].finished_rgb)
