"""A kept reckoning as whoever glues it up sees it: rows of pieces with their joints, borders, the sizes of the blank.

Nothing is reckoned anew: the record (``planner.record``) says what was cut and how it lies. A deep row is one row here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from planner.build import along_of
from planner.cutting.tolerance import datum_seam
from planner.gluing.shares import OF_PANELS, OPERATIONS
from planner.gluing.terms import TimetableError
from planner.measures import ZERO, Length

READS_FORMS = (1, 2)
MM2_PER_DM2 = 10_000


@dataclass(frozen=True, slots=True)
class GlueRow:
    """A row as it is laid, counted from the top; rows ``first`` to ``last`` of the picture as it lies are in it.
    ``seams`` are its joints, as lengths from its left end; ``datum`` is the line near the middle that every row is laid
    from. A slice of a ``panel`` is one piece.
    """

    number: int
    first: int
    last: int
    pieces: int
    length: Length
    width: Length
    seams: tuple[Length, ...]
    datum: Length
    panel: int = 0

    @property
    def is_deep(self) -> bool:
        return self.last > self.first

    @property
    def joints(self) -> int:
        return self.pieces - 1

    def length_of(self, first: int, end: int) -> Length:
        """How long the pieces from ``first`` up to ``end`` are together, counted from nought at the left."""
        bounds = (ZERO, *self.seams, self.length)
        return bounds[end] - bounds[first]

    @property
    def datum_is_a_seam(self) -> bool:
        return self.datum in self.seams


@dataclass(frozen=True, slots=True)
class GluePanel:
    """Panels alike, one of each of ``lengths`` along the grain, ``bounds`` where its strips begin and the last ends
    across it. ``slices`` come out of all of them."""

    number: int
    bounds: tuple[Length, ...]
    lengths: tuple[Length, ...]
    slices: int

    @property
    def strips(self) -> int:
        return len(self.bounds) - 1

    @property
    def width(self) -> Length:
        return self.bounds[-1]

    @property
    def area(self) -> Fraction:
        """Seen from above, all together, in mm²."""
        return self.width.mm * sum((length.mm for length in self.lengths), Fraction(0))

    def width_of(self, first: int, end: int) -> Length:
        return self.bounds[end] - self.bounds[first]


@dataclass(frozen=True, slots=True)
class GlueBoard:
    """One board of which ``copies`` are made, lying as it is glued; ``along`` says whether its rows are rows or columns
    of the picture as it hangs. Strips, crosscuts and stop settings are for all copies, everything else
    for one. ``faces_dm2`` are both finished faces; ``borders`` how many top and bottom borders it has; ``pieces`` all
    that is cut for one, spares left out. Where it is made of ``panels``, they and ``panel_dm2``, both their faces, are
    for all copies. ``details`` are sentences of what is done once it is cut to size, in ``detail_minutes`` as
    planned. ``by_hand`` where it is handed over in person, so that no carrier has it."""

    label: str
    use: str
    along: str
    copies: int
    rows: tuple[GlueRow, ...]
    borders: int
    border_width: Length
    blank_length: Length
    blank_height: Length
    finished: tuple[Length, Length, Length]
    strips: int
    crosscuts: int
    stop_settings: int
    faces_dm2: Fraction
    wood_cautions: tuple[str, ...] = ()
    panels: tuple[GluePanel, ...] = ()
    panel_dm2: Fraction = Fraction(0)
    details: tuple[str, ...] = ()
    detail_minutes: Fraction = Fraction(0)
    by_hand: bool = False

    @property
    def flattening(self) -> Mapping[str, Fraction]:
        """What there is to flatten of one, by operation: end grain without a planer."""
        return {"sand_dm2": self.faces_dm2} | ({"end_grain_dm2": self.faces_dm2} if self.panels else {})

    @property
    def pieces(self) -> int:
        return sum(row.pieces for row in self.rows) + self.borders


def glue_board_of(record: Mapping[str, Any], *, copies: int | None = None, label: str = "") -> GlueBoard:
    """The board of a kept record, forms 1 and 2. ``copies`` other than the record's quantity takes strips and crosscuts
    in proportion, rounded up.

    Raises TimetableError for a record of a form that is not known or with work of a kind that has no steps, and for
    no copies.
    """
    if record.get("form") not in READS_FORMS:
        raise TimetableError(
            f"This plan is of form {record.get('form')}; timetables are made of forms 1 and 2.",
            mend="Bring the house up to date, or reckon the board anew and keep it.",
            field="plan",
        )
    counts = {name: Fraction(count) for name, count in record.get("operations", {}).items()}
    known = OPERATIONS if record.get("panels") else OPERATIONS - OF_PANELS
    if more := sorted(name for name, count in counts.items() if count and name not in known):
        raise TimetableError(
            f"This plan has work no timetable knows of: {', '.join(more)}.",
            mend="Reckon the board row by row for a timetable.",
            field="plan",
        )
    spec = record["spec"]
    quantity = int(spec["quantity"])
    made = quantity if copies is None else copies
    if made < 1:
        raise TimetableError("No board is to be made.", mend="Make one at least.", field="copies")
    parts, rows, panels = record["parts"], _rows(record), _panels(record)
    if panels and made != quantity:
        raise TimetableError(
            f"Its panels are for {quantity} copies, not {made}.",
            mend="Reckon the board anew and keep it.",
            field="copies",
        )
    length, height, thickness = (_length(text) for text in record["finished"])
    strips = sum(line["strips"] for line in record["woods"])
    # One cut a piece, spares with it, and one to square the end of every strip.
    crosscuts = sum(line["pieces"] for line in record["woods"]) + strips
    top, bottom = record["borders"]
    return GlueBoard(
        label,
        spec["use"],
        along_of(record),
        made,
        rows,
        (top is not None) + (bottom is not None),
        ZERO if top is None else _length(parts[top]["place"][1]),
        _length(record["blank"][0]),
        _length(record["blank"][1]),
        (length, height, thickness),
        ceil(Fraction(strips * made, quantity)),
        ceil(Fraction(crosscuts * made, quantity)),
        int(counts.get("stop_change", len({part["stages"]["crosscut"][0] for part in parts}))),
        2 * length.mm * height.mm / MM2_PER_DM2,
        tuple(sorted({caution["kind"] for line in record["woods"] for caution in line["cautions"]})),
        panels,
        counts.get("panel_dm2", Fraction(0)),
        tuple(f"{detail['words']}: {detail['where']}" for detail in record.get("details", ())),
        counts.get("detail_min", Fraction(0)) / quantity,
    )


def _length(text: str) -> Length:
    return Length(Fraction(text))


def _rows(record: Mapping[str, Any]) -> tuple[GlueRow, ...]:
    parts = record["parts"]
    places = [(Fraction(part["place"][0]), Fraction(part["place"][1])) for part in parts]
    blank = Fraction(record["blank"][0])
    # The picture lies in the middle of the blank; the datum is the line between two of its columns.
    columns, pitch = record["columns"], Fraction(record["spec"]["pitch"])
    datum = Length((blank - columns * pitch) / 2 + datum_seam(columns) * pitch)
    rows = []
    for row in record["laid"]:
        at, seams = Fraction(0), []
        for number in row["parts"]:
            at += places[number][0]
            seams.append(Length(at))
        width = Length(places[row["parts"][0]][1])
        number = row["number"]
        # Records of before rows could be deep or slices say no more than a row's number.
        first, panel = row.get("first", number), row.get("panel", 0)
        inside = () if panel else tuple(seams[:-1])
        last = first + row.get("deep", 1) - 1
        rows.append(GlueRow(number, first, last, len(inside) + 1, Length(at), width, inside, datum, panel))
    return tuple(rows)


def _panels(record: Mapping[str, Any]) -> tuple[GluePanel, ...]:
    panels = []
    for panel in record.get("panels", ()):
        bounds = [ZERO]
        for number in panel["strips"]:
            bounds.append(bounds[-1] + _length(record["parts"][number]["place"][0]))
        lengths = tuple(_length(text) for text, many in panel["lengths"] for _ in range(many))
        panels.append(GluePanel(panel["number"], tuple(bounds), lengths, panel["slices"]))
    return tuple(panels)
