"""A board from the other end: from how large it may be, what it may cost and where it is seen from, to its sizes.

sizes      border shapes, the largest pitch on the saw's scale that fits, how thick the wood on hand makes it
budget     the largest pitch whose price stays within an amount
sight      how far off single tiles are told apart, and how large the board looks from there
"""

from planner.proposing.budget import largest_within
from planner.proposing.sight import LEAST_ANGLE_SOURCE, as_large_as, least_tile, told_apart_from
from planner.proposing.sizes import SHAPES, THICKNESS, Shape, Sized, pitches, sized, thickness_of

__all__ = [
    "LEAST_ANGLE_SOURCE",
    "SHAPES",
    "THICKNESS",
    "Shape",
    "Sized",
    "as_large_as",
    "largest_within",
    "least_tile",
    "pitches",
    "sized",
    "thickness_of",
    "told_apart_from",
]
