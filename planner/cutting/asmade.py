"""As made: one tile gauged, or a row laid dry and measured, takes the nominal size's place from then on.

A tile that comes out a little long changes every size that follows from it: the run of three beside it, the row, the
top and bottom border that lie along it, and the board. Sizes come from a kept reckoning (``planner.record``).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planner.build import ACROSS, BORDERS, Stage, along_of
from planner.cutting.fromshop.units import FINEST
from planner.cutting.lumber import CuttingError
from planner.cutting.setups.scale import nearest
from planner.cutting.setups.terms import SetUps
from planner.figures import Figure, Term
from planner.measures import ZERO, Length
from planner.shop import Shop

# A tile further off than this is rather a slip of the rule than a tile: common practice, no source.
MOST_OFF = Fraction(5, 100)
# What gives way when the tiles differ: the board's size, or the borders so that the size stays.
KEEPS = ("borders", "size")
_ENDS = {"side border": 1, "through row": 2}


class AsMadeError(CuttingError):
    """A measure that cannot be one of this board's, or that its borders cannot make up for."""


@dataclass(frozen=True, slots=True)
class Measured:
    """``tiles`` tiles in ``pieces`` pieces laid end to end without glue measure ``length``: 1 and 1 for a gauged tile.
    ``width`` is what a gauged strip of the rows measures across, None where it was not measured."""

    length: Length
    tiles: int = 1
    pieces: int = 1
    width: Length | None = None


@dataclass(frozen=True, slots=True)
class PartMade:
    """A part of the reckoning, by its place there, with its sizes from now on; ``was`` is the crosscut length it had,
    ``stop`` the stop's distance for the new one, stand-off counted in, and ``set_to`` the nearest mark of its scale."""

    part: int
    kind: str
    wood: str
    tiles: int
    count: int
    was: Length
    stages: tuple[Stage, ...]
    stop: Length
    set_to: Length
    deep: int = 1

    @property
    def crosscut(self) -> Length:
        return next(stage.length for stage in self.stages if stage.name == "crosscut")


@dataclass(frozen=True, slots=True)
class AsMade:
    """Every size that follows from what was measured. ``row_length`` is a row as glued, left long at both ends; the
    top and bottom borders are cut as long."""

    pitch: Figure
    row_height: Figure
    field_length: Figure
    row_length: Figure
    side_border: Figure
    end_border: Figure
    finished_length: Figure
    finished_height: Figure
    parts: tuple[PartMade, ...]

    @property
    def figures(self) -> dict[str, Figure]:
        return {
            name: getattr(self, name)
            for name in (
                "pitch",
                "row_height",
                "field_length",
                "row_length",
                "side_border",
                "end_border",
                "finished_length",
                "finished_height",
            )
        }


def remeasured(record: Mapping[str, Any], measured: Measured, shop: Shop, *, keep: str = "borders") -> AsMade:
    """The sizes of the board of ``record`` with what was ``measured`` in place of its nominal pitch.

    The pitch becomes (length + pieces × glue line) ÷ tiles; the height of a row changes by what the gauged strip is
    off, where that was measured. ``keep`` "borders" leaves the borders as they are and lets the board's size follow;
    "size" keeps the size and takes the difference off the borders, half of it on either side.

    Raises AsMadeError, ``field`` "length", "width", "tiles", "pieces" or "keep": for what is more than 5 % off the
    nominal, for a row of more tiles than there are columns, and for borders that cannot make up for the difference.
    """
    if record.get("panels"):
        raise AsMadeError(
            "The rows of this board are slices of panels: no tile is cut whose length the others follow.",
            mend="Measure a panel across instead, and let the blank be cut to size at last.",
        )
    if keep not in KEEPS:
        raise AsMadeError("What gives way is not known.", mend=f"Choose {' or '.join(KEEPS)}.", field="keep")
    # Every row is gauged at a setting of its own, a deep one too: each is off by what one strip is.
    spec, rows, columns = record["spec"], len(record["laid"]), record["columns"]
    _check_count(measured, columns)
    pitch, side, end = (Length.of_mm(spec[name]) for name in ("pitch", "side_border", "end_border"))
    glue = _glue_line(record)
    nominal = planned(record, measured.tiles, measured.pieces)
    _check("length", "The row" if measured.tiles > 1 else "The tile", measured.length, nominal, shop)
    new_pitch = (measured.length + glue * measured.pieces) / measured.tiles
    longer = new_pitch - pitch
    wider = ZERO
    if measured.width is not None:
        strip = _gauged_width(record)
        _check("width", "The gauged strip", measured.width, strip, shop)
        wider = measured.width - strip
    sides, ends = ZERO, ZERO
    if keep == "size":
        at_ends, beside = BORDERS[along_of(record)]
        sides = _taken(at_ends, longer * columns, side, shop)
        ends = _taken(beside, wider * rows, end, shop)
    field = longer * columns
    finished_length, finished_height, _ = (Length.of_mm(text) for text in record["finished"])
    row, _ = (Length.of_mm(text) for text in record["blank"])
    more_long, more_high = field + sides * 2, wider * rows + ends * 2
    parts = tuple(
        _part(n, part, _Change(longer, wider, sides, ends, more_long), shop) for n, part in enumerate(record["parts"])
    )
    return AsMade(
        pitch=_pitch(new_pitch, measured, glue),
        row_height=_changed(pitch, wider, "nominal + what the gauged strip is off"),
        field_length=Figure(
            new_pitch * columns,
            "mm",
            "columns × pitch as made",
            "measured",
            (Term("Columns", Figure(columns, "columns", "of the picture")),),
        ),
        row_length=_changed(row, more_long, "nominal + what the tiles and the side borders are off"),
        side_border=_changed(side, sides, "kept, or less what the tiles took, half on either side"),
        end_border=_changed(end, ends, "kept, or less what the rows took, half on either side"),
        finished_length=_changed(finished_length, more_long, "nominal + what the tiles and the side borders are off"),
        finished_height=_changed(finished_height, more_high, "nominal + what the rows and the borders are off"),
        parts=parts,
    )


def planned(record: Mapping[str, Any], tiles: int = 1, pieces: int = 1) -> Length:
    """What ``tiles`` tiles of the board of ``record`` in ``pieces`` pieces should measure, laid end to end without
    glue."""
    return Length.of_mm(record["spec"]["pitch"]) * tiles - _glue_line(record) * pieces


@dataclass(frozen=True, slots=True)
class StopMade:
    """The stop of a set-up from now on: ``step`` is its number, ``was`` the exact distance it had, ``parts`` those of
    the reckoning that are cut at it. A set-up whose parts now differ in length has a line for each."""

    step: int
    was: Length
    stop: Length
    set_to: Length
    parts: tuple[int, ...]


def stops_as_made(ups: SetUps, made: AsMade, shop: Shop) -> tuple[StopMade, ...]:
    """What the stops of kept set-ups stand at now, in the order of the work; those that stay are left out.

    A part is found again by the length it was to be crosscut to, which a cut plan may have rounded up by less than
    its finest unit."""
    found = []
    for step in ups.of("part"):
        for setting in step.settings:
            length = setting.exact - setting.spacer
            now: dict[Length, list[int]] = {}
            for part in made.parts:
                if ZERO <= length - part.was < FINEST:
                    now.setdefault(part.crosscut, []).append(part.part)
            for crosscut, parts in sorted(now.items(), reverse=True):
                stop = crosscut + shop.stand_off
                if stop != setting.exact:
                    mark = nearest(stop, shop.saw_scale)
                    found.append(StopMade(step.number, setting.exact, stop, mark, tuple(parts)))
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Change:
    """What is added to a tile's length, a row's height, a side border, an end border, and a row's whole length."""

    longer: Length
    wider: Length
    sides: Length
    ends: Length
    whole: Length


def _part(number: int, part: Mapping[str, Any], change: _Change, shop: Shop) -> PartMade:
    if part["kind"] == ACROSS:
        longer, wider = change.whole, change.ends
    else:
        longer = change.longer * part["tiles"] + change.sides * _ENDS.get(part["kind"], 0)
        wider = change.wider
    stages = tuple(
        Stage(name, Length.of_mm(size[0]) + longer, Length.of_mm(size[1]) + wider, Length.of_mm(size[2]))
        for name, size in part["stages"].items()
    )
    was = Length.of_mm(part["stages"]["crosscut"][0])
    stop = was + longer + shop.stand_off
    return PartMade(
        number,
        part["kind"],
        part["wood"],
        part["tiles"],
        part["count"],
        was,
        stages,
        stop,
        nearest(stop, shop.saw_scale),
        part.get("deep", 1),
    )


def _check_count(measured: Measured, columns: int) -> None:
    if not 1 <= measured.tiles <= columns:
        raise AsMadeError(
            f"A row of {measured.tiles} tiles is not one of this board's {columns} columns.",
            mend=f"Lay from 1 to {columns} tiles.",
            field="tiles",
        )
    if not 1 <= measured.pieces <= measured.tiles:
        raise AsMadeError(
            f"{measured.tiles} tiles do not come in {measured.pieces} pieces.",
            mend="Count the pieces that were laid end to end: one for each tile, fewer where runs are among them.",
            field="pieces",
        )


def _check(field: str, what: str, found: Length, nominal: Length, shop: Shop) -> None:
    off = max(found - nominal, nominal - found)
    if off > nominal * MOST_OFF:
        raise AsMadeError(
            f"{what} measures {shop.says(found)} where {shop.says(nominal)} was planned: more than 5 % off.",
            mend="Measure again, and look at the unit and at how many tiles were laid; if it is right, plan anew.",
            field=field,
        )


def _taken(what: str, more: Length, border: Length, shop: Shop) -> Length:
    """What each of two borders changes by so that the whole stays."""
    each = -(more / 2)
    if each and border + each <= ZERO:
        raise AsMadeError(
            f"The {what} are {shop.says(border)} wide and cannot make up for {shop.says(max(more, -more))}.",
            mend="Keep the borders and let the board's size follow.",
            field="keep",
        )
    return each


def _glue_line(record: Mapping[str, Any]) -> Length:
    """The glue line the board was reckoned with: what a piece glued at both ends is shorter than its place. Pieces at
    a row's end are glued at one end only and lose half of it."""
    lost = [
        (Length.of_mm(part["place"][0]) - Length.of_mm(part["stages"]["crosscut"][0]), part["kind"])
        for part in record["parts"]
        if part["kind"] != ACROSS
    ]
    return max((length if kind in ("tile", "run") else length * 2 for length, kind in lost), default=ZERO)


def _gauged_width(record: Mapping[str, Any]) -> Length:
    """Of the rows within the board: rows at its edge are left wider where there is no border, deep rows are wider."""
    return min(Length.of_mm(part["stages"]["gauged"][1]) for part in record["parts"] if part["kind"] != ACROSS)


def _pitch(pitch: Length, measured: Measured, glue: Length) -> Figure:
    return Figure(
        pitch,
        "mm",
        "(measured length + pieces × glue line) ÷ tiles",
        "measured",
        (
            Term("Measured", Figure(measured.length, "mm", "laid end to end without glue", "measured")),
            Term("Pieces", Figure(measured.pieces, "pieces", "laid end to end")),
            Term("Tiles", Figure(measured.tiles, "tiles", "in those pieces")),
            Term("Glue line", Figure(glue, "mm", "as the board was reckoned")),
        ),
    )


def _changed(nominal: Length, by: Length, rule: str) -> Figure:
    return Figure(
        nominal + by,
        "mm",
        rule,
        "measured",
        (Term("Nominal", Figure(nominal, "mm", "as planned")), Term("Difference", Figure(by, "mm", "as made"))),
    )
