"""What a board wants of its woods: the parts of a kept record, with spares."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from math import ceil

from planner.cutting import spares
from planner.measures import Length
from planner.record import Json
from planner.shop import Shop

NM = 1_000_000


def up(length: Length) -> int:
    """Whole nanometres, no fewer than the length has."""
    return ceil(length.mm * NM)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Parts alike of one wood: what they are, ``tiles`` cells of the picture in each, the ripped width and milled
    thickness of the strip they come from, their crosscut length, and how many for all boards, spares apart."""

    wood: str
    kind: str
    tiles: int
    width: Length
    thickness: Length
    length: Length
    count: int
    spares: int


def wanted_in(record: Json, shop: Shop) -> tuple[Wanted, ...]:
    """The parts of a reckoning's record (planner.record), for all its boards, with ``shop``'s spares: the fewest that
    leave enough good ones of each length and width, as planner.cutting counts them."""
    copies = record["spec"]["quantity"]
    alike: dict[tuple[str, str, str], int] = defaultdict(int)
    for part in record["parts"]:
        length, width, _ = part["stages"]["ripped"]
        alike[part["wood"], width, length] += part["count"] * copies
    extra = {key: spares(count, shop.spoil_rate, shop.spare_confidence) for key, count in alike.items()}
    found = []
    for part in record["parts"]:
        length, width, thickness = part["stages"]["ripped"]
        found.append(
            Wanted(
                part["wood"],
                part["kind"],
                part["tiles"],
                Length.of_mm(width),
                Length.of_mm(thickness),
                Length.of_mm(length),
                part["count"] * copies,
                # The spares of parts cut alike are counted once, with the first of them.
                extra.pop((part["wood"], width, length), 0),
            )
        )
    return tuple(found)
