"""What the page shows that lays a grid over its picture; every reading of cells is cached by what it depends on."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.core.cache import cache
from django.urls import reverse

from planner.errors import PlannerError
from shopapp.common.images import image_bytes
from shopapp.common.models import StoredImage
from shopapp.designs.models import Design, KeptGrid

from . import planning
from .overlay import Overlay, overlay
from .steps import Base, Place, join, replay, split, step_asked

CACHED_SECONDS = 600
# Thumbnails of other readings are worked out from the whole picture; of a larger one they would take too long.
MOST_FOR_THUMBNAILS = 4_000_000
# A picture of fewer pixels is shown larger than it is, square by square; more lines than this would hide one.
SMALL_PICTURE, MANY_LINES = 600, 90


@dataclass(frozen=True)
class Sources:
    """What a design's grid can be corrected from: a kept grid or the reading (``number`` 0), and the readings."""

    design: Design
    start: Base
    number: int
    made: str
    readings: list[Base]


class NoSuchGrid(PlannerError):
    """The page was opened on a grid that this design never had."""

    def __init__(self) -> None:
        super().__init__("This page was opened on a grid that is not this design’s.", mend="Load it once more.")


def sources(design: Design, number: int | None = None) -> Sources:
    """From the grid of that ``number``, or the newest. Raises NoSuchGrid."""
    kept = None
    if number != 0:
        grids = design.grids.select_related("grid")
        kept = (grids if number is None else grids.filter(number=number)).first()
        if kept is None and number is not None:
            raise NoSuchGrid
    readings = _readings(design)
    if kept is not None:
        return Sources(design, _kept(kept), kept.number, kept.made, readings)
    if not readings:
        raise NoSuchGrid
    return Sources(design, readings[0], 0, "read", readings)


def _readings(design: Design) -> list[Base]:
    """The best reading, then the others; none for a picture in which no grid was found."""
    reading = design.reading
    if "rows" not in reading:
        return []
    lattice = planning.place_of(reading["lattice"]) if "lattice" in reading else _place_again(design)
    image = reading.get("grid_image")
    stored = StoredImage.objects.filter(pk=image).first() if image else design.grid
    best = Base(lattice, bool(reading.get("lines")), stored)
    return [best, *(_other(one, stored) for one in reading.get("others", []))]


def _other(one: Mapping[str, Any], best: StoredImage | None) -> Base:
    """A runner-up; one that differs from the best reading at its sides only has that one's cells."""
    place, ruled, differs = planning.place_of(one["lattice"]), one["kind"] in planning.RULED, one.get("differs", "")
    if not one.get("sides") or best is None:
        return Base(place, ruled, differs=differs)
    return Base(place, ruled, best, sides=one["sides"], differs=differs)


def _place_again(design: Design) -> planning.Lattice:
    """Of a picture read before places were written down; once found it is at hand for a while."""
    key = f"place:{design.original.sha256}"
    place = cache.get(key)
    if place is None:
        place = planning.place_again(image_bytes(design.original), design.reading).as_record()
        cache.set(key, place, CACHED_SECONDS)
    return planning.place_of(place)


def _kept(kept: KeptGrid) -> Base:
    place = kept.place
    taps = tuple((int(row), int(column)) for row, column in place.get("taps", []))
    return Base(planning.place_of(place["lattice"]), bool(place.get("lines")), kept.grid, taps, "reduction" in place)


@dataclass(frozen=True)
class Corrected:
    """A grid after corrections: where it lies, its cells, and the line that carries the corrections on."""

    sources: Sources
    steps: tuple[str, ...]
    place: Place
    png: bytes
    trouble: str = ""

    @property
    def line(self) -> str:
        return join(self.steps)

    @property
    def grid(self) -> planning.PictureGrid:
        return planning.grid_of(self.png)

    def overlay(self) -> Overlay:
        return overlay(self.place.lattice, self.grid.filled)

    def address(self, steps: Sequence[str] | None = None) -> str:
        """Where the cells of this grid, or of other corrections from the same start, are drawn."""
        asked = {"base": self.sources.number, "steps": self.line if steps is None else join(steps)}
        return f"{reverse('designs:grid_cells', args=[self.sources.design.pk])}?{urlencode(asked)}"


def corrected(found: Sources, line: str, asked: Sequence[str] = (), *, by: str = "px", part: str = "") -> Corrected:
    """The grid after the corrections of ``line`` and then those ``asked`` for.

    Raises PlannerError for a line that cannot be followed; what is asked for and cannot be done leaves the grid as it
    was, with words.
    """
    steps = split(line)
    place = _followed(found, steps)
    trouble = ""
    for one in asked:
        try:
            steps, place = _with(found, steps, place, one, by, part)
        except PlannerError as error:
            trouble = str(error)
    return Corrected(found, tuple(steps), place, _cells(found.design, place), trouble)


def _with(found: Sources, steps: list[str], place: Place, asked: str, by: str, part: str) -> tuple[list[str], Place]:
    if asked == "undo":
        if not steps:
            raise PlannerError("There is no correction to take back.")
        more = steps[:-1]
    else:
        # With scripts a press says itself how far and what: "left:quarter:right".
        word, far, what = [*asked.split(":"), "", ""][:3]
        more = [*steps, step_asked(word, far or by, what if far else part, place.lattice.pitch)]
        split(join(more))
    return more, _followed(found, more)


def _followed(found: Sources, steps: Sequence[str]) -> Place:
    """The place after ``steps``, still one that can be kept and lies over the picture. Raises PlannerError."""
    place = replay(found.start, found.readings, steps)
    lattice = planning.place_of(place.lattice.as_record())
    width, height = found.design.original.width, found.design.original.height
    across, down = ([corner[axis] for corner in lattice.corners] for axis in (0, 1))
    if max(across) <= 0 or max(down) <= 0 or min(across) >= width or min(down) >= height:
        raise PlannerError("The lines would lie beside the picture.", mend="Move them back over it.")
    return place


def _cells(design: Design, place: Place) -> bytes:
    """The cells of a place as a stored grid: as they were read there before, or read now, with what was tapped."""
    stored = place.base.image if not place.shifted else None
    sides = place.from_stored
    if stored is not None:
        key, taps = f"{stored.sha256}{sorted(sides.items())}", place.new_taps
        key = hashlib.sha256(key.encode()).hexdigest() if sides else stored.sha256
    else:
        where = repr((place.lattice, place.base.lines))
        key, taps = hashlib.sha256(f"{design.original.sha256}{where}".encode()).hexdigest(), place.taps
    names = [f"grid:{key}:{hashlib.sha256(repr(taps[:n]).encode()).hexdigest()}" for n in range(len(taps) + 1)]
    known = cache.get(names[-1])
    if known is not None:
        return known
    done, png = next(((n, png) for n in range(len(taps) - 1, -1, -1) if (png := cache.get(names[n]))), (0, None))
    if png is not None:
        grid = planning.grid_of(png)
    elif stored is not None:
        grid = planning.grid_of(image_bytes(stored))
        if sides:
            grid = planning.carried_to(
                grid,
                sides,
                lambda: image_bytes(design.original),
                place.lattice,
                lines=place.base.lines,
                look_again=not place.base.taps,
            )
            cache.set(names[0], planning.grid_png(grid), CACHED_SECONDS)
    else:
        grid = planning.cells_at(image_bytes(design.original), place.lattice, lines=place.base.lines)
        cache.set(names[0], planning.grid_png(grid), CACHED_SECONDS)
    for row, column in taps[done:]:
        grid = planning.background_toggled(grid, row, column)
    png = planning.grid_png(grid)
    cache.set(names[-1], png, CACHED_SECONDS)
    return png


@dataclass(frozen=True)
class OtherReading:
    """A runner-up: what takes it, in words, and its cells drawn small where that is quick."""

    step: str
    words: str
    thumbnail: str


def grid_page(now: Corrected) -> dict[str, object]:
    """Everything the page shows that lays the grid over its picture."""
    design = now.sources.design
    return {
        "design": design,
        "now": now,
        "base": now.sources.number,
        "shown": design.shown or design.original,
        # As drawn before any script has looked how large the page is.
        "crisp": max(design.original.width, design.original.height) <= SMALL_PICTURE,
        "hatch": f"{max(design.original.width, design.original.height) / SMALL_PICTURE:.3f}",
        "dense": max(now.place.lattice.rows, now.place.lattice.columns) > MANY_LINES,
        "others": _others(now),
        "live": live(now),
        "fixed": now.place.base.fixed,
        "seen": seen_in_words(design),
        "sure": design.reading.get("sure", True) and now.sources.number == 0,
        "unsure": now.sources.number == 0 and not design.reading.get("sure", True),
    }


def live(now: Corrected) -> dict[str, object]:
    """What changes on the page with every correction."""
    grid, place = now.grid, now.place
    drawn = now.overlay()
    return {
        "steps": now.line,
        "frame": drawn.frame,
        "lines": drawn.lines,
        "tens": drawn.tens,
        "veil": drawn.veil,
        "corners": [list(corner) for corner in place.lattice.corners],
        "rows": grid.rows,
        "columns": grid.columns,
        "filled": ["".join("1" if cell else "0" for cell in row) for row in grid.filled.tolist()],
        "pitch": place.lattice.pitch,
        "size": size_in_words(place.lattice),
        "background": background_in_words(grid),
        "changes": in_one_sentence(place.words()),
        "untouched": place.is_untouched,
        "trouble": now.trouble,
        "cells": now.address(),
    }


def size_in_words(lattice) -> str:
    rows, columns = lattice.rows, lattice.columns
    return f"{rows} {'row' if rows == 1 else 'rows'} of {columns}, {lattice.pitch:.4g} px a square"


def background_in_words(grid) -> str:
    aside = int((~grid.filled).sum())
    if not aside:
        return "No square is background."
    return f"{aside} of {grid.rows * grid.columns} squares {'is' if aside == 1 else 'are'} background."


def in_one_sentence(parts: Sequence[str]) -> str:
    words = "; ".join(parts)
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def seen_in_words(design: Design) -> list[str]:
    """What was seen when the picture was read, in a maker's words."""
    reading = design.reading
    if "rows" not in reading:
        return []
    said = [planning.KINDS.get(reading.get("kind", ""), reading.get("kind", ""))]
    if reading.get("lines"):
        said.append(str(reading["lines"]))
    turn = float(reading.get("turn", 0))
    if abs(turn) >= 0.1:
        said.append(f"turned by {abs(turn):.1f}° {'clockwise' if turn > 0 else 'against the clock'}")
    return [words for words in [*said, *reading.get("seen", [])] if words]


def _others(now: Corrected) -> list[OtherReading]:
    design = now.sources.design
    small = design.original.width * design.original.height <= MOST_FOR_THUMBNAILS
    others = []
    for number, base in enumerate(now.sources.readings):
        if number == 0 and now.sources.number == 0:
            continue
        step = f"o{number}"
        more = "as it was first read" if number == 0 else base.differs
        words = size_in_words(base.lattice) + (f", {more}" if more else "")
        others.append(OtherReading(step, words, now.address([step]) if small else ""))
    return others
