"""Every kind of part with how many there are and its size at each stage, and the spares cut with them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from shopapp.plans.lines import PartLine

from . import planning
from .minding import Minding, minding
from .told import Told


@dataclass(frozen=True)
class WoodParts:
    """``spares``, ``strips`` and ``rough_lengths`` as the plan reckons them for all copies."""

    name: str
    parts: tuple[PartLine, ...]
    spares: int
    strips: int
    rough_lengths: int

    @property
    def pieces(self) -> int:
        return sum(part.pieces for part in self.parts)


@dataclass(frozen=True)
class Parts:
    """``milled`` is how thick strips of a board that is not of panels are milled, and stay until it is flattened. Each
    of ``drawn`` has a page."""

    unit_words: str
    woods: tuple[WoodParts, ...]
    milled: str
    drawn: tuple[str, ...]
    minding: tuple[Minding, ...]

    @property
    def pieces(self) -> int:
        return sum(wood.pieces for wood in self.woods)

    @property
    def spares(self) -> int:
        return sum(wood.spares for wood in self.woods)


def parts_of(told: Told) -> Parts:
    lines = told.view.parts()
    return Parts(
        unit_words="inches" if told.shop.unit == "in" else "millimetres",
        woods=tuple(_by_wood(lines, told.record["woods"])),
        drawn=tuple(
            planning.part_drawings(told.record, told.shop.unit, f"{told.plan.title}: its parts, stage by stage")
        ),
        milled=lines[0].stages["ripped"][2],
        minding=minding(told, "machines", "tiles"),
    )


def _by_wood(lines: Sequence[PartLine], woods: Sequence[Mapping]) -> Iterator[WoodParts]:
    told = {wood["wood"]: wood for wood in woods}
    for key, alike in groupby(lines, lambda line: line.record["wood"]):
        parts = tuple(alike)
        yield WoodParts(parts[0].wood_name, parts, *(told[key][name] for name in ("spares", "strips", "rough_lengths")))
