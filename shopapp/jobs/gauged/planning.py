"""The door to the planner for sizes as made: a record and a measure in, the sizes of its parts and of the board out."""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import lru_cache

from planner.build import along_of
from planner.cutting.asmade import AsMade, Measured, PartMade, planned, remeasured
from planner.cutting.tolerance import datum_seam
from planner.measures import Length
from planner.shop import Shop
from shopapp.plans.models import Plan, TileMeasured
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

__all__ = ["PartMade", "Sizes", "sizes_of"]


@dataclass(frozen=True)
class Sizes:
    """Sizes from now on, each beside the plan's. ``tile`` is one tile without glue, ``row`` a row as glued and left
    long, ``datum`` how far from its left end it is registered from, ``finished`` along the rows and across them;
    ``upright`` where the rows run from bottom to top."""

    parts: tuple[PartMade, ...]
    tile: tuple[Length, Length]
    row: tuple[Length, Length]
    datum: tuple[Length, Length]
    finished: tuple[tuple[Length, Length], tuple[Length, Length]]
    upright: bool

    def crosscut(self, part: int) -> Length:
        return self.parts[part].crosscut

    @property
    def hangs(self) -> tuple[tuple[Length, Length], tuple[Length, Length]]:
        """(width, height) as made and as planned, as the board hangs."""
        (long, long_planned), (high, high_planned) = self.finished
        made, plan = (long, high), (long_planned, high_planned)
        return (made[::-1], plan[::-1]) if self.upright else (made, plan)

    @property
    def resized(self) -> bool:
        """Whether the board itself comes out otherwise than planned."""
        return any(made != plan for made, plan in self.finished)


def sizes_of(plan: Plan, measure: TileMeasured, workshop: Workshop) -> Sizes:
    """Raises AsMadeError where nothing follows from the measure."""
    measured = Measured(measure.length, measure.tiles, measure.pieces, measure.width)
    return _sizes(plan.result, measured, measure.keep, shop_of(workshop))


@lru_cache(maxsize=16)
def _sizes(result: str, measured: Measured, keep: str, shop: Shop) -> Sizes:
    record = json.loads(result)
    made = remeasured(record, measured, shop, keep=keep)
    tile = planned(record)
    row, was = _length(made, "row_length"), Length.of_mm(record["blank"][0])
    pitch, columns = Length.of_mm(record["spec"]["pitch"]), record["columns"]
    long, high, _ = (Length.of_mm(text) for text in record["finished"])
    return Sizes(
        made.parts,
        (tile + _length(made, "pitch") - pitch, tile),
        (row, was),
        (_datum(row, columns, _length(made, "pitch")), _datum(was, columns, pitch)),
        ((_length(made, "finished_length"), long), (_length(made, "finished_height"), high)),
        along_of(record) == "columns",
    )


def _datum(row: Length, columns: int, pitch: Length) -> Length:
    """As timetables tell it: the picture lies in the middle of the row, and the datum between two of its columns."""
    return (row - pitch * columns) / 2 + pitch * datum_seam(columns)


def _length(made: AsMade, name: str) -> Length:
    value = made.figures[name].value
    assert isinstance(value, Length)
    return value
