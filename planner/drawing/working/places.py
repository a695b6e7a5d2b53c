"""Where every piece of a kept reckoning lies in the blank, face up or glued face down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, NamedTuple

from planner.build import along_of
from planner.cutting.tolerance import datum_seam


class Piece(NamedTuple):
    """``row`` is its row as laid, 0 in a border along the rows. Millimetres from the upper left corner of the blank as
    it lies, floats, for drawing only; half of each glue line around it is its own."""

    wood: str
    row: int
    x: float
    y: float
    long: float
    wide: float


@dataclass(frozen=True, slots=True)
class Row:
    number: int
    y: Fraction
    wide: Fraction


@dataclass(frozen=True, slots=True)
class Laid:
    """A blank as it lies on the bench, rows from left to right, row 1 at the top; sizes along the rows come first.
    ``mirrored`` where it lies face down: left and right are swapped, so that rows begin at the right.

    ``datum`` is how far the datum line lies from the end where rows begin; ``plain`` is the wood of borders and
    background, empty where there is neither."""

    pieces: tuple[Piece, ...]
    rows: tuple[Row, ...]
    blank: tuple[Fraction, Fraction]
    finished: tuple[Fraction, Fraction]
    field: tuple[Fraction, Fraction]
    pitch: Fraction
    columns: int
    side_border: Fraction
    end_border: Fraction
    datum: Fraction
    mirrored: bool
    upright: bool
    end_grain: bool
    plain: str

    @property
    def trim(self) -> tuple[Fraction, Fraction]:
        """What comes off each end and each long edge when the blank is cut to size."""
        return (self.blank[0] - self.finished[0]) / 2, (self.blank[1] - self.finished[1]) / 2

    def along(self, begin: Fraction, end: Fraction) -> tuple[Fraction, Fraction]:
        """From and to, counted from the left as the blank lies, of what is counted from where rows begin."""
        return (self.blank[0] - end, self.blank[0] - begin) if self.mirrored else (begin, end)

    def column(self, column: int) -> tuple[Fraction, Fraction]:
        """From and to of a column of tiles, the first where rows begin being 0."""
        begin = self.trim[0] + self.side_border + self.pitch * column
        return self.along(begin, begin + self.pitch)


def laid_of(record: Mapping[str, Any], *, mirrored: bool = False) -> Laid:
    """The blank of ``planner.record.to_record``'s record; records of before rows could be deep read as well."""
    parts = record["parts"]
    sizes = [(Fraction(part["place"][0]), Fraction(part["place"][1])) for part in parts]
    blank = Fraction(record["blank"][0]), Fraction(record["blank"][1])
    finished = Fraction(record["finished"][0]), Fraction(record["finished"][1])
    spec = record["spec"]
    pitch, columns = Fraction(spec["pitch"]), record["columns"]
    side, end = Fraction(spec["side_border"]), Fraction(spec["end_border"])
    upper, lower = record["borders"]
    lines = [(row["number"], row["parts"]) for row in record["laid"]]
    if upper is not None:
        lines = [(0, [upper]), *lines, (0, [lower])]
    pieces: list[Piece] = []
    rows: list[Row] = []
    woods, longs, whole = [part["wood"] for part in parts], [float(long) for long, _ in sizes], float(blank[0])
    y = Fraction(0)
    for number, numbers in lines:
        wide = sizes[numbers[0]][1]
        x, top, high = 0.0, float(y), float(wide)
        for part in numbers:
            long = longs[part]
            pieces.append(Piece(woods[part], number, whole - x - long if mirrored else x, top, long, high))
            x += long
        if number:
            rows.append(Row(number, y, wide))
        y += wide
    begin = (blank[0] - columns * pitch) / 2
    return Laid(
        tuple(pieces),
        tuple(rows),
        blank,
        finished,
        (columns * pitch, record["rows"] * pitch),
        pitch,
        columns,
        side,
        end,
        begin + datum_seam(columns) * pitch,
        mirrored,
        along_of(record) == "columns",
        bool(record.get("panels")),
        spec["border_wood"] if len(record["woods"]) > 1 else "",
    )
