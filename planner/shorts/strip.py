"""How much strip the pieces of a shelf would give, were they all ripped for tiles of one size."""

from __future__ import annotations

from planner.build.parts import Lie, stages_of
from planner.measures import Length
from planner.shop import Shop
from planner.shorts.making import thick_enough
from planner.shorts.shelf import Shelf
from planner.shorts.whole import up


def strip_in(shelf: Shelf, pitch: Length, thickness: Length, shop: Shop) -> Length:
    """The length of strip, end to end, for rows of tiles ``pitch`` square in a board ``thickness`` thick: every rough
    length that is thick enough is ripped side by side into strips as wide as such tiles are ripped, with the kerf
    between and the edge trim off, and of each strip the end trims and the grip are left out. Nought where the shop
    rips nothing so narrow. Knots, checks and what the last part of a strip leaves over are not taken off.

    >>> import numpy as np
    >>> board = (1, "oak", 27_000_000, 150_000_000, 1_200_000_000, False)
    >>> from planner.shorts.shelf import shelves
    >>> mm = Length.of_mm
    >>> strip_in(shelves([board], Shop())["oak"], mm(17), mm(20), Shop())
    Length('7350 mm')
    """
    ripped = stages_of(Lie(pitch, pitch, 2, 2, 0, 0), thickness, shop)[0]
    if ripped.width < shop.narrowest_strip:
        return Length.of_mm(0)
    kerf = up(shop.rip_kerf)
    usable = shelf.rough - up(shop.rough_end_trim * 2 + shop.grip)
    beside = (shelf.width - up(shop.rough_edge_trim) + kerf) // (up(ripped.width) + kerf)
    fit = thick_enough(shelf, ripped.thickness, shop) & (usable > 0) & (beside > 0)
    return Length.from_nm(int((usable[fit] * beside[fit]).sum()))
