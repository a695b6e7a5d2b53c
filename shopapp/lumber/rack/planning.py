"""The door to the planner for the lists of the rack: what is too short for anything, what strip is in the rest."""

from __future__ import annotations

from collections.abc import Iterable

from planner.cutting import shortest_use
from planner.figures import Figure
from planner.measures import Length
from planner.shorts import shelves, strip_in
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of


def shortest_of_use(workshop: Workshop) -> Figure:
    """The length below which nothing can be cut from a piece in this shop, with its rule."""
    return shortest_use(shop_of(workshop))


def strip_by_wood(pieces: Iterable[tuple], pitch: Length, thickness: Length, workshop: Workshop) -> dict[str, Length]:
    """The length of strip in free pieces (as ``planner.shorts.Piece``) of every wood, for tiles of this size."""
    shop = shop_of(workshop)
    return {wood: strip_in(shelf, pitch, thickness, shop) for wood, shelf in shelves(pieces, shop).items()}
