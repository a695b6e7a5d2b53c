"""The shortest piece of wood that anything at all can be cut from within the maker's safe limits."""

from __future__ import annotations

from planner.figures import Figure, Term
from planner.shop import Shop

_SET = "the workshop's safe limits and allowances"


def shortest_use(shop: Shop) -> Figure:
    """Length in mm below which a piece gives no part of any board, however it is designed.

    What is shorter than the shortest length machined is fed to no machine. And a strip loses both end trims and keeps
    the grip, and one part out of it needs its own length and a cut; no part is as short as the cut is wide, for a
    pitch no wider than the kerf is refused. So this bounds from below what ``lumber_need`` asks of its shortest strip.

    Source: common practice, no source, but for the machines' shortest length (see ``planner.shop``); the machine's
    manual comes first.

    >>> shortest_use(Shop()).value
    Length('305 mm')
    """
    strip = shop.rough_end_trim * 2 + shop.grip + shop.crosscut_kerf * 2
    ends = Figure(shop.rough_end_trim * 2, "mm", "off each end, twice", _SET)
    part = Figure(shop.crosscut_kerf * 2, "mm", "the cut, and a part longer than the cut is wide", _SET)
    held = Figure(shop.grip, "mm", "stays under the hold-down and is never cut", _SET)
    machined = Figure(shop.shortest_machined, "mm", "nothing shorter is fed to jointer or planer", _SET)
    return Figure(
        max(strip, shop.shortest_machined),
        "mm",
        "the longer of what the machines may be fed and what a strip with one part in it takes",
        "common practice, no source; the machine's manual comes first",
        (
            Term("Shortest length machined", machined),
            Term("A strip with one part", Figure(strip, "mm", "its trims, its grip, a cut and a part", _SET, (
                Term("end trims", ends), Term("grip", held), Term("cut and part", part),
            ))),
        ),
    )  # fmt: skip
