"""The door to the planner for what a tile measures: the tolerance of a row, and the sizes and stops that follow."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from planner.build import BORDERS, along_of
from planner.cutting.asmade import AsMade, AsMadeError, Measured, PartMade, StopMade, planned, remeasured, stops_as_made
from planner.cutting.fromshop.parts import name_of
from planner.cutting.plan import from_json
from planner.cutting.setups import from_record
from planner.cutting.setups.stopnotes import OF_ONE_DISTANCE, test_cut
from planner.cutting.stripsmade import StripShort, strips_short
from planner.cutting.tolerance import tolerance
from planner.measures import Length
from planner.shop import Shop
from shopapp.workshop.models import Workshop
from shopapp.workshop.planning import shop_of

__all__ = ["AsMadeError", "Followed", "Measured", "SaidSeen", "follow", "planned", "said_of"]

Json = Mapping[str, Any]

# What the sentences about a row show the effect of, in each unit a shop writes: common practice, no source.
_ERRORS = {"mm": Length.of_mm("0.1"), "in": Length.of_inches("0.005")}
# Those without words here are called by which way the rows run.
_SIZES = {
    "pitch": "A tile, with its glue line",
    "row_height": "",
    "field_length": "The picture, along its rows",
    "row_length": "A row as glued, left long",
    "side_border": "",
    "end_border": "",
    "finished_length": "The board, along its rows",
    "finished_height": "The board, across its rows",
}


@dataclass(frozen=True)
class SaidSeen:
    """A sentence, and the figure in it as a record that can be opened."""

    words: str
    figure: Json


@dataclass(frozen=True)
class SizeLine:
    """A size of the board; ``figure`` is the record of what it is as made."""

    words: str
    planned: Length
    made: Length
    figure: Json

    @property
    def moved(self) -> bool:
        return self.planned != self.made


@dataclass(frozen=True)
class StopLine:
    """A stop that moves; ``was`` is the mark it was set to. ``each`` is what a part left at the mark is off, ``longer``
    or shorter, and ``over`` how much that makes over a row of ``fit`` such parts; ``test`` is how it is tried,
    ``notes`` what else is to be minded at it, with the first stop of a set-up."""

    step: int
    names: str
    was: Length
    stop: Length
    set_to: Length
    length: Length
    each: Length
    longer: bool
    over: Length
    fit: int
    test: str
    notes: tuple[str, ...] = ()

    @property
    def stays(self) -> bool:
        """Whether the nearest mark is the one it stood at."""
        return self.set_to == self.was


@dataclass(frozen=True)
class PartLine:
    name: str
    wood: str
    count: int
    was: Length
    length: Length
    width: Length
    thickness: Length


@dataclass(frozen=True)
class Followed:
    """Everything that follows from a measure. ``tile`` is one tile as made, ``tile_planned`` as it was to be, without
    glue; ``stand_off`` is the spacer in every stop, nought for none; ``short`` are strips that would keep too little
    in the hold-down; ``crosscuts`` has a length for every part of the record, by its number."""

    tile: Length
    tile_planned: Length
    sizes: tuple[SizeLine, ...]
    stops: tuple[StopLine, ...]
    parts: tuple[PartLine, ...]
    short: tuple[StripShort, ...]
    stand_off: Length
    crosscuts: tuple[Length, ...] = ()

    @cached_property
    def steps(self) -> set[int]:
        """The set-ups whose stop moves."""
        return {line.step for line in self.stops}

    @property
    def off(self) -> Length:
        """How far a tile is off, longer or shorter."""
        return max(self.tile - self.tile_planned, self.tile_planned - self.tile)

    @property
    def longer(self) -> bool:
        return self.tile > self.tile_planned

    @property
    def lengths(self) -> list[tuple[Length, Length]]:
        """What is crosscut otherwise than planned: planned and from now on, the longest first."""
        pairs = {(line.was, line.length) for line in self.parts if line.was != line.length}
        return sorted(pairs, key=lambda pair: (-pair[0].mm, -pair[1].mm))

    @property
    def moved(self) -> list[SizeLine]:
        """Sizes that are not as planned, but for the tile's own."""
        return [line for line in self.sizes[1:] if line.moved]


def said_of(record: Json, workshop: Workshop) -> list[SaidSeen]:
    """What a small error on every tile does to the rows of the board of ``record``, where it goes, and how much of it
    the board takes. Rows are left as long as the board was reckoned with."""
    if record.get("panels"):
        return []
    long, finished = Length.of_mm(record["blank"][0]), Length.of_mm(record["finished"][0])
    shop = replace(shop_of(workshop), end_trim=(long - finished) / 2)
    told = tolerance(
        record["columns"],
        Length.of_mm(record["spec"]["pitch"]),
        shop,
        rows=len(record["laid"]),
        error=_ERRORS[workshop.unit],
    )
    return [SaidSeen(one.words, one.figure.as_record()) for one in told.said]


def follow(record: Json, form: str, set_ups: Json, measured: Measured, keep: str, workshop: Workshop) -> Followed:
    """What follows for the board of ``record``, cut as the plan ``form`` with its ``set_ups``, from what was measured.
    Stops have the stand-off and the scale of the shop as it is now. Raises AsMadeError, whose ``field`` is "length",
    "width", "tiles", "pieces" or "keep"."""
    shop = shop_of(workshop)
    made = remeasured(record, measured, shop, keep=keep)
    found = stops_as_made(from_record(dict(set_ups)), made, shop) if set_ups else ()
    tile, pitch = planned(record), made.pitch.value
    assert isinstance(pitch, Length)
    return Followed(
        tile=tile + pitch - Length.of_mm(record["spec"]["pitch"]),
        tile_planned=tile,
        sizes=tuple(_sizes(record, made)),
        stops=tuple(_stops(found, made, set_ups, shop, along_of(record))),
        parts=tuple(_parts(made, along_of(record))),
        short=strips_short(from_json(form), made),
        stand_off=shop.stand_off,
        crosscuts=tuple(part.crosscut for part in made.parts),
    )


def _sizes(record: Json, made: AsMade) -> Iterable[SizeLine]:
    spec = record["spec"]
    pitch = Length.of_mm(spec["pitch"])
    was = {
        "pitch": pitch,
        "row_height": pitch,
        "field_length": pitch * record["columns"],
        "row_length": Length.of_mm(record["blank"][0]),
        "side_border": Length.of_mm(spec["side_border"]),
        "end_border": Length.of_mm(spec["end_border"]),
        "finished_length": Length.of_mm(record["finished"][0]),
        "finished_height": Length.of_mm(record["finished"][1]),
    }
    along = along_of(record)
    at_ends, beside = (f"{words.capitalize()}, each" for words in BORDERS[along])
    row = "A row, wide" if along == "columns" else "A row, high"
    for name, words in {**_SIZES, "row_height": row, "side_border": at_ends, "end_border": beside}.items():
        figure = made.figures[name]
        assert isinstance(figure.value, Length)
        if was[name] or figure.value:
            yield SizeLine(words, was[name], figure.value, figure.as_record())


def _stops(found: Sequence[StopMade], made: AsMade, set_ups: Json, shop: Shop, along: str) -> Iterable[StopLine]:
    steps = {step["number"]: step for step in set_ups["steps"]} if found else {}
    told: set[int] = set()
    row = made.field_length.value
    assert isinstance(row, Length)
    for one in found:
        length = one.stop - shop.stand_off
        fit = max(int(row / (length + shop.glue_line)), 1)
        each = max(one.set_to - one.stop, one.stop - one.set_to)
        names = dict.fromkeys(_name(made.parts[n], along) for n in one.parts)
        yield StopLine(
            step=one.step,
            names=" or ".join(names),
            was=Length.of_mm(steps[one.step]["settings"][0]["set_to"]),
            stop=one.stop,
            set_to=one.set_to,
            length=length,
            each=each,
            longer=one.set_to > one.stop,
            over=each * fit,
            fit=fit,
            test=test_cut(length, shop),
            notes=() if one.step in told else _still(steps[one.step]["notes"]),
        )
        told.add(one.step)


def _name(part: PartMade, along: str) -> str:
    return name_of(part.kind, part.tiles, along, part.deep)


def _still(notes: Sequence[str]) -> tuple[str, ...]:
    """Notes of a set-up that hold wherever its stop stands."""
    return tuple(note for note in notes if not note.startswith(OF_ONE_DISTANCE))


def _parts(made: AsMade, along: str) -> Iterable[PartLine]:
    """Parts alike in wood, name and size as one line."""
    lines: dict[tuple, int] = {}
    for part in made.parts:
        gauged = next(stage for stage in part.stages if stage.name == "gauged")
        key = _name(part, along), part.wood, part.was, part.crosscut, gauged.width, gauged.thickness
        lines[key] = lines.get(key, 0) + part.count
    for (name, wood, was, length, width, thickness), count in lines.items():
        yield PartLine(name, wood, count, was, length, width, thickness)
