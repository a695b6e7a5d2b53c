"""The door to the planner for the lists of the rack: what is too short for anything."""

from __future__ import annotations

from planner.cutting import shortest_use
from planner.figures import Figure
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of


def shortest_of_use(workshop: Workshop) -> Figure:
    """The length below which nothing can be cut from a piece in this shop, with its rule."""
    return shortest_use(shop_of(workshop))
