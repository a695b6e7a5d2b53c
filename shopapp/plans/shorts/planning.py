"""The shorts' one door to the planner: kept records and free pieces in, what can be made of them out."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import lru_cache

from planner.shop import Shop
from planner.shorts import Lack, Made, Shelf, Wanted, WoodMade, WoodWanted, make_from, shelves, wanted_in
from shopapp.plans.models import canonical
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

__all__ = ["Lack", "Made", "Shelf", "Tonight", "Wanted", "WoodMade", "parts_of", "tonight"]


def parts_of(record: Mapping) -> str:
    """What of a record is looked at here, as canonical JSON: small enough to be kept at hand for many plans."""
    parts = [{name: part[name] for name in ("kind", "wood", "tiles", "count", "stages")} for part in record["parts"]]
    return canonical({"spec": {"quantity": record["spec"]["quantity"]}, "parts": parts})


class Tonight:
    """The free pieces, and the shop's kerfs, trims and limits as they are now. ``pieces`` are (key, wood, thickness,
    width, length, surfaced), lengths in whole nanometres."""

    def __init__(self, pieces: tuple[tuple, ...], shop: Shop) -> None:
        self.shop = shop
        self.there: dict[str, Shelf] = shelves(pieces, shop)
        self._made: dict[str, Made] = {}

    @property
    def too_short(self) -> int:
        return sum(shelf.too_short for shelf in self.there.values())

    def makes(self, parts: str) -> Made:
        """What the pieces give of a plan's parts; asked again, it is not worked out again."""
        if parts not in self._made:
            self._made[parts] = make_from(_wanted(parts, self.shop)[1], self.there, self.shop)
        return self._made[parts]

    def copies(self, parts: str) -> int:
        """How many boards the plan is for."""
        return _wanted(parts, self.shop)[0]


def tonight(pieces: tuple[tuple, ...], workshop: Workshop) -> Tonight:
    return _tonight(pieces, shop_of(workshop))


@lru_cache(maxsize=4)
def _tonight(pieces: tuple[tuple, ...], shop: Shop) -> Tonight:
    return Tonight(pieces, shop)


@lru_cache(maxsize=200)
def _wanted(parts: str, shop: Shop) -> tuple[int, tuple[WoodWanted, ...]]:
    record = json.loads(parts)
    return record["spec"]["quantity"], wanted_in(record, shop)
