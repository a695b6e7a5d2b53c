"""What each wood is called here and how its plank looks, whether it is on hand or only in the table."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from .models import WoodOnHand
from .planning import WOODS, plank, stand_in_plank


@dataclass(frozen=True)
class WoodSeen:
    """A wood by its id; ``row`` where it is among this maker's woods."""

    wood: str
    row: WoodOnHand | None

    @property
    def name(self) -> str:
        return self.row.name if self.row else WOODS[self.wood].name

    @cached_property
    def plank(self) -> str:
        return plank(self.row) if self.row else stand_in_plank(WOODS[self.wood])


def woods_seen() -> dict[str, WoodSeen]:
    """Every wood of the table, by its id. One query."""
    rows = {row.wood: row for row in WoodOnHand.objects.all()}
    return {wood: WoodSeen(wood, rows.get(wood)) for wood in WOODS}


def wood_choices(seen: dict[str, WoodSeen]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Woods to choose from: those on hand by their name, then the table's others."""
    mine = sorted((wood.name, id_) for id_, wood in seen.items() if wood.row and wood.row.on_hand)
    others = sorted((wood.name, id_) for id_, wood in seen.items() if not (wood.row and wood.row.on_hand))
    groups = [("Your woods", mine), ("Others", others)]
    return [(title, [(id_, name) for name, id_ in rows]) for title, rows in groups if rows]
