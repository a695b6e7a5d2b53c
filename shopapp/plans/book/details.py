"""Details of a board once it is cut to size: where each goes, its screws with their places, hardware and minutes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .told import Told


@dataclass(frozen=True)
class Details:
    """``lines`` as the record has them, of one board; ``along`` and ``across`` say where a screw is measured from."""

    lines: tuple[Mapping, ...]
    along: str
    across: str
    load: Mapping | None

    @property
    def has_screws(self) -> bool:
        return any(line["screws"] for line in self.lines)


def details_of(told: Told) -> Details | None:
    """None where nothing is done to the board but what is done to all."""
    if not told.view.details:
        return None
    along, across = ("bottom", "left") if told.view.is_upright else ("left", "top")
    return Details(tuple(told.view.details), along, across, told.record["figures"].get("hanger_load"))
