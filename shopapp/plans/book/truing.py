"""Borders and truing: the board's size before and after each step, what comes off where, and the datum it is all
measured from.

Sizes are the record's; what comes off is the difference of two of them, dealt to both sides alike.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from planner.measures import Length

from . import planning
from .minding import Minding, minding_of_any_wood
from .told import Told

Size = tuple[Length, Length, Length]


@dataclass(frozen=True)
class RowWidth:
    """So many rows of a board that are ``gauged`` so wide, and ``dressed`` on their glued edges."""

    rows: int
    gauged: str
    dressed: str


@dataclass(frozen=True)
class Borders:
    """What runs along the rows, ``count`` pieces, glued on when the field is true."""

    words: str
    wood_name: str
    count: int
    length: str
    gauged: str
    dressed: str
    finished: str


@dataclass(frozen=True)
class Truing:
    """Sizes are along the rows, across them, and thick: ``field`` when all rows are joined, ``blank`` with the borders
    along them, ``flat`` when that is flattened, ``finished`` at last. ``off_end`` comes off each end, ``off_edge`` off
    each long edge, ``off_faces`` off both faces together. ``datum`` lies so far from the blank's end where rows begin,
    ``datum_tiles`` from the picture's, and ``first_cut`` from the finished end. ``borders`` is None where none runs
    along the rows, or where they are slices of panels as rows are. ``seams`` is a drawing of those across the grain."""

    rows: tuple[RowWidth, ...]
    borders: Borders | None
    end_borders: tuple[str, str] | None
    field: Size
    blank: Size
    flat: Size
    finished: Size
    off_end: Length
    off_edge: Length
    off_faces: Length
    datum: Length
    datum_tiles: int
    first_cut: Length
    seams: str
    minding: tuple[Minding, ...]


def truing_of(told: Told) -> Truing:
    record = told.record
    parts = record["parts"]
    length, across, thick = (Length.of_mm(text) for text in record["finished"])
    blank = tuple(Length.of_mm(text) for text in record["blank"])
    panels = record.get("panels", ())
    glued = Length.of_mm(panels[0]["sliced"] if panels else parts[0]["stages"]["gauged"][2])
    high = sum((Length.of_mm(parts[row["parts"][0]]["place"][1]) for row in record["laid"]), Length.of_mm(0))
    off_end, off_edge = (blank[0] - length) / 2, (blank[1] - across) / 2
    tiles, datum = planning.datum_of(record)
    return Truing(
        rows=() if panels else tuple(_row_widths(record)),
        borders=_borders(told),
        end_borders=_end_borders(told),
        field=(blank[0], high, glued),
        blank=(*blank, glued),
        flat=(*blank, thick),
        finished=(length, across, thick),
        off_end=off_end,
        off_edge=off_edge,
        off_faces=glued - thick,
        datum=datum,
        datum_tiles=tiles,
        first_cut=datum - off_end,
        seams=planning.seams_drawing(record, told.shop.unit, f"{told.plan.title}: its seams"),
        minding=minding_of_any_wood(told, "machines"),
    )


def _row_widths(record: Mapping):
    stages = [record["parts"][row["parts"][0]]["stages"] for row in record["laid"]]
    widths = Counter((one["gauged"][1], one["dressed"][1]) for one in stages)
    return (RowWidth(rows, *both) for both, rows in widths.most_common())


def _borders(told: Told) -> Borders | None:
    record, view = told.record, told.view
    number = record["borders"][0]
    if number is None:
        return None
    part = record["parts"][number]
    stages = part["stages"]
    return Borders(
        words="left and right borders" if view.is_upright else "top and bottom borders",
        wood_name=view.names()[part["wood"]],
        count=part["count"],
        length=stages["crosscut"][0],
        gauged=stages["gauged"][1],
        dressed=stages["dressed"][1],
        finished=stages["finished"][1],
    )


def _end_borders(told: Told) -> tuple[str, str] | None:
    """Borders at the rows' ends, which are glued in them: what they are called, and how wide they stay."""
    width = told.record["spec"]["side_border"]
    if not Length.of_mm(width).mm:
        return None
    return "top and bottom borders" if told.view.is_upright else "side borders", width
