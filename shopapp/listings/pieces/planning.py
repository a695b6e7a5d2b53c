"""The door to the planner for what is told of a piece: a kept record in, its size, mass and woods out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planner.cautions import cautions_for_step, is_said_of_all
from planner.measures import Length, round_half_up
from planner.record import hanging_size
from planner.woods import WOODS, cautions_for

__all__ = ["OfWood", "cautions_in_use", "size_of", "weight_of", "wood_of", "woods_of"]
GRAMS_PER_KG = 1000


@dataclass(frozen=True)
class OfWood:
    """What the table knows of a wood: ``listed`` says why papers may be asked for abroad, ``allergen`` what is said of
    it as one; "" where there is nothing to say."""

    name: str
    scientific: str
    listed: str
    allergen: str


def wood_of(key: str) -> OfWood:
    """A wood that is not in the table is called by its key, and nothing more is known of it."""
    found = WOODS.get(key)
    if found is None:
        return OfWood(key, "", "", "")
    said = {caution.kind: caution.words for caution in found.cautions}
    return OfWood(found.common_name, found.scientific_name, said.get("trade", ""), said.get("allergen", ""))


def size_of(record: Mapping[str, Any]) -> tuple[Length, Length, Length]:
    """Wide, high and thick, as the board hangs."""
    return (*hanging_size(record), Length.of_mm(record["finished"][2]))


def weight_of(record: Mapping[str, Any]) -> int | None:
    """Grams of one board; None where the density of one of its woods is not known, or the record is of before."""
    mass = record.get("mass")
    if not mass or mass["mass"] is None or mass["unknown"]:
        return None
    return int(round_half_up(Fraction(mass["mass"]["value"][1]) * GRAMS_PER_KG, 0))


def woods_of(record: Mapping[str, Any]) -> list[tuple[str, Fraction | None]]:
    """Every wood of a board, borders too, with its share of the face: that of its volume, for a board is as thick in
    one place as in another. The most of it first."""
    nets = {one["wood"]: Fraction(one["net"]["value"][1]) for one in record["woods"]}
    whole = sum(nets.values(), Fraction(0))
    shares = {wood: net / whole if whole else None for wood, net in nets.items()}
    return sorted(shares.items(), key=lambda one: -(one[1] or 0))


def cautions_in_use(use: str, woods: list[str]) -> list[str]:
    """What to mind when a board for ``use`` of those woods is in use, each sentence once."""
    said = [caution.words for caution in cautions_for_step("use", use)]
    for key in woods:
        for caution in cautions_for(WOODS[key], use) if key in WOODS else ():
            if caution.kind == "food" and not is_said_of_all(caution.kind, caution.source):
                said.append(f"{WOODS[key].common_name.capitalize()}: {caution.words[0].lower()}{caution.words[1:]}")
    return list(dict.fromkeys(said))
