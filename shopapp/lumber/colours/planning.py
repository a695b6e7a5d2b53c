"""The door to the planner for colours: a photo's small copy, the colour of the wood beside the card in it, and how far
one sample is from another."""

from __future__ import annotations

from planner.drawing import WoodLook, hex_of, plank_svg
from planner.sample import LONGEST_SHOWN, SampledColour, Shift, disc_radius, shift, shown_copy, wood_colour
from planner.woods import WOODS
from shopapp.lumber.models import WoodOnHand

__all__ = [
    "LONGEST_SHOWN",
    "SampledColour",
    "Shift",
    "disc_radius",
    "hex_of",
    "is_of_the_table",
    "plank_in",
    "sample_in",
    "shift_between",
    "shown_copy",
    "stand_in",
    "wood_colour",
]


def plank_in(row: WoodOnHand, rgb: str, *, mark: bool = True) -> str:
    """A plank of the wood as it looks in that colour, six digits after a #."""
    return plank_svg(WoodLook(row.name, _rgb(rgb), row.mark), mark=mark)


def sample_in(row: WoodOnHand, rgb: str) -> str:
    """A short broad piece of the wood in that colour, bare of its mark: only the colour is told."""
    return plank_svg(WoodLook(row.name, _rgb(rgb), row.mark), length=72, width=44, mark=False)


def shift_between(first: str, later: str) -> Shift:
    return shift(_rgb(first), _rgb(later))


def _rgb(digits: str) -> tuple[int, int, int]:
    red, green, blue = bytes.fromhex(digits.removeprefix("#"))
    return red, green, blue


def is_of_the_table(wood_id: str) -> bool:
    return wood_id in WOODS


def stand_in(wood_id: str) -> str:
    """The colour a wood of the table is shown in before it has one of its own."""
    return hex_of(WOODS[wood_id].finished_rgb)
