"""What a board wants of its woods: the parts of a kept record, with spares."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from planner.cutting import spares
from planner.measures import Length
from planner.record import Json
from planner.shop import Shop
from planner.shorts.whole import up


@dataclass(frozen=True, slots=True)
class Line:
    """Parts to be laid, in whole nanometres: crosscut length with its kerf, ripped width, and how many."""

    weight: int
    width: int
    count: int


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


@dataclass(frozen=True, slots=True)
class WoodWanted:
    """All parts of one wood, and the same as they are laid, with their spares and without."""

    wood: str
    parts: tuple[Wanted, ...]
    with_spares: tuple[Line, ...]
    bare: tuple[Line, ...]


def gathered(parts: Iterable[Wanted], shop: Shop) -> tuple[WoodWanted, ...]:
    """Parts by their wood, most tiles first."""
    by_wood: dict[str, list[Wanted]] = defaultdict(list)
    for part in parts:
        by_wood[part.wood].append(part)
    woods = sorted(by_wood.items(), key=lambda wood: -sum(part.tiles * part.count for part in wood[1]))
    return tuple(
        WoodWanted(
            wood,
            tuple(mine),
            tuple(_line(part, part.count + part.spares, shop) for part in mine),
            tuple(_line(part, part.count, shop) for part in mine),
        )
        for wood, mine in woods
    )


def _line(part: Wanted, count: int, shop: Shop) -> Line:
    return Line(up(part.length + shop.crosscut_kerf), up(part.width), count)


def wanted_in(record: Json, shop: Shop) -> tuple[WoodWanted, ...]:
    """What a reckoning's record (planner.record) wants for all its boards, with ``shop``'s spares: the fewest that
    leave enough good ones of each length and width, as planner.cutting counts them."""
    copies = record["spec"]["quantity"]
    alike: dict[tuple[str, str, str], int] = defaultdict(int)
    for part in record["parts"]:
        length, width, _ = part["stages"]["ripped"]
        # Of a panel the slices have their spares, not its strips.
        alike[part["wood"], width, length] += 0 if part.get("for_all") else part["count"] * copies
    extra = {key: spares(count, shop.spoil_rate, shop.spare_confidence) for key, count in alike.items()}
    found = []
    for part in record["parts"]:
        length, width, thickness = part["stages"]["ripped"]
        found.append(
            Wanted(
                part["wood"],
                part["kind"],
                part["tiles"] * part.get("deep", 1),
                Length.of_mm(width),
                Length.of_mm(thickness),
                Length.of_mm(length),
                part["count"] * (1 if part.get("for_all") else copies),
                # The spares of parts cut alike are counted once, with the first of them.
                extra.pop((part["wood"], width, length), 0),
            )
        )
    return gathered(found, shop)
