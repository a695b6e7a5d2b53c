"""Other readings of a picture that nothing in it rules out, for whoever knows better than its pixels tell.

A drawing in strokes of two looks like one of half the size; an edge of background may be meant as a margin or be
nothing; what lies around the squares may be one more ring of them. Where the search itself came upon fewer than two
runners-up, these stand in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.pattern import LARGEST_SIDE
from planner.picture.carrying import carried
from planner.picture.channels import largest
from planner.picture.grid import RULED, Proposal, Sides
from planner.picture.lattice import Lattice
from planner.picture.reading_at import grid_at

# Runners-up shown beside the best: at least, and at most where more are likely.
LEAST, MOST = 2, 3
# A drawing is likely one in strokes of so many cells where this share of the blocks of so many is of one colour, but
# for so many levels of 255. Large areas make up to two thirds of any drawing's blocks so.
_IN_STROKES, _ONE_COLOUR = 0.8, 10
# Beside the picture there is room for one more row where so much of it lies on the picture.
_ROOM = 0.75
# Cells are at least so many pixels.
_LEAST_PITCH = 1.0
# Grids of so many rows and columns, no corner of which is further off than this part of a cell, are the same.
_SAME = 0.25
_TIMES = {2: "squares twice as large", 3: "squares three times as large"}
_PARTS = {2: "squares half as large", 3: "squares a third as large", 4: "squares a quarter as large"}


@dataclass(frozen=True, slots=True)
class _Way:
    """Where other cells may lie, in what they differ, and whether that is ``likely``; read already where the search
    ``found`` them."""

    lattice: Lattice
    differs: str
    likely: bool
    found: Proposal | None = None
    sides: Sides | None = None


def with_runners_up(
    image: Image.Image, best: Proposal, found: tuple[Proposal, ...], *, sure: bool
) -> tuple[Proposal, ...]:
    """Two or three runners-up, likeliest first, none of them the best once more; ``found`` are those of the search.

    Of a best that is ``sure`` what may still be meant otherwise comes first, and finer grids, which explain any
    picture, after that; of any other the search knows more. There may be fewer where no other grid of at most 200 cells
    a side and of whole pixels can take its place: one row of single pixels has none.
    """
    known = [_Way(other.lattice, _said(best.lattice, other), True, other) for other in found]
    derived = list(_derived(best, image.size))
    likely, rest = ([way for way in derived if way.likely == is_so] for is_so in (True, False))
    chosen: list[_Way] = []
    for way in [*likely, *known, *rest] if sure else [*known, *likely, *rest]:
        if len(chosen) >= (MOST if way.likely else LEAST):
            break
        if not any(_same(way.lattice, lattice) for lattice in (best.lattice, *(one.lattice for one in chosen))):
            chosen.append(way)
    if all(way.found for way in chosen):
        return tuple(replace(way.found, differs=way.differs) for way in chosen if way.found)
    pixels = np.asarray(image)
    return tuple(_proposal(pixels, best, way) for way in chosen)


def _proposal(pixels: NDArray[np.uint8], best: Proposal, way: _Way) -> Proposal:
    if way.found:
        return replace(way.found, differs=way.differs)
    if way.sides:
        fresh = grid_at(pixels, way.lattice, lines=best.kind in RULED, running=False) if way.sides.grow else None
        return Proposal(carried(best.grid, way.sides, fresh), way.lattice, best.kind, way.differs, way.sides)
    kind = "scaled" if best.kind == "native" else best.kind
    return Proposal(grid_at(pixels, way.lattice, lines=kind in RULED, running=False), way.lattice, kind, way.differs)


def _said(best: Lattice, other: Proposal) -> str:
    """In what a grid that was found differs, where that is more than its numbers."""
    if other.kind == "native":
        return "one pixel a square"
    for times, words in _PARTS.items():
        if (other.lattice.rows, other.lattice.columns) == (times * best.rows, times * best.columns):
            return words
    return ""


def _derived(best: Proposal, size: tuple[int, int]) -> Iterator[_Way]:
    """What the best reading leaves open, the likeliest first."""
    blocks = {times: _in_blocks(best, times) for times in _TIMES}
    for times, found in blocks.items():
        if found and found[1] >= _IN_STROKES:
            yield _Way(found[0], _TIMES[times], True)
    if inner := _without_margin(best):
        yield _moved(best.lattice, inner, "without the background around it")
    if outer := _with_margin(best.lattice, size):
        yield _moved(best.lattice, outer, "with one square more of what lies around it")
    if found := blocks[2]:
        yield _Way(found[0], _TIMES[2], False)
    if halves := _halved(best.lattice):
        yield _Way(halves, _PARTS[2], False)
    if found := blocks[3]:
        yield _Way(found[0], _TIMES[3], False)


def _in_blocks(best: Proposal, times: int) -> tuple[Lattice, float] | None:
    """Cells so many times as large, where they begin so that most of them are of one colour, and what share of those
    is that are whole and no background; None where the grid is too small for them."""
    grid = best.grid
    if min(grid.rows, grid.columns) < times:
        return None
    cells = np.where(grid.filled[..., None], grid.rgb.astype(np.int16), np.int16(-255))
    ways: list[tuple[float, int, int, int, int, int]] = []
    for top in range(min(times, grid.rows - times + 1)):
        for left in range(min(times, grid.columns - times + 1)):
            down, across = (grid.rows - top) // times, (grid.columns - left) // times
            whole = cells[top : top + down * times, left : left + across * times]
            each = [whole[y::times, x::times] for y in range(times) for x in range(times)]
            most, least = np.maximum.reduce(each), np.minimum.reduce(each)
            apart, drawn = largest(most - least), largest(most) >= 0
            share = float((apart <= _ONE_COLOUR)[drawn].mean()) if drawn.any() else 0.0
            # Cells at the edge are cut where they must be.
            above, before = -top % times, -left % times
            rows, columns = -(-(grid.rows + above) // times), -(-(grid.columns + before) // times)
            ways.append((-share, rows * columns, above, before, rows, columns))
    share, _, top, left, rows, columns = min(ways)
    if max(rows, columns) > LARGEST_SIDE:
        return None
    return _between(best.lattice, -left, -top, columns * times - left, rows * times - top, rows, columns), -share


def _halved(lattice: Lattice) -> Lattice | None:
    if 2 * max(lattice.rows, lattice.columns) > LARGEST_SIDE or lattice.pitch < 2 * _LEAST_PITCH:
        return None
    return Lattice(lattice.corners, 2 * lattice.rows, 2 * lattice.columns)


def _moved(lattice: Lattice, sides: Sides, differs: str) -> _Way:
    to = lattice.extended(top=sides.top, right=sides.right, bottom=sides.bottom, left=sides.left)
    return _Way(to, differs, True, sides=sides)


def _without_margin(best: Proposal) -> Sides | None:
    """Less the rows and columns at its sides that are mere background."""
    filled = best.grid.filled
    rows, columns = np.flatnonzero(filled.any(axis=1)), np.flatnonzero(filled.any(axis=0))
    height, width = filled.shape
    sides = Sides(-int(rows[0]), int(columns[-1]) + 1 - width, int(rows[-1]) + 1 - height, -int(columns[0]))
    return None if sides == Sides() else sides


def _with_margin(lattice: Lattice, size: tuple[int, int]) -> Sides | None:
    """One row or column more on every side on which the picture has room for it."""
    rows, columns = lattice.rows, lattice.columns
    sides = Sides(
        top=int(_lies_on(lattice, ((0, -_ROOM), (columns, -_ROOM)), size)),
        right=int(_lies_on(lattice, ((columns + _ROOM, 0), (columns + _ROOM, rows)), size)),
        bottom=int(_lies_on(lattice, ((0, rows + _ROOM), (columns, rows + _ROOM)), size)),
        left=int(_lies_on(lattice, ((-_ROOM, 0), (-_ROOM, rows)), size)),
    )
    tall, wide = rows + sides.top + sides.bottom, columns + sides.left + sides.right
    return sides if sides.grow and max(tall, wide) <= LARGEST_SIDE else None


def _lies_on(lattice: Lattice, ends: tuple[tuple[float, float], ...], size: tuple[int, int]) -> bool:
    places = [lattice.at(*end) for end in ends]
    return all(0 <= x <= size[0] and 0 <= y <= size[1] for x, y in places)


def _between(lattice: Lattice, left: int, top: int, right: int, bottom: int, rows: int, columns: int) -> Lattice:
    """So many rows and columns between two rows and two columns of a lattice, counted from its first."""
    one, two, three, four = (
        lattice.at(*corner) for corner in ((left, top), (right, top), (right, bottom), (left, bottom))
    )
    return Lattice((one, two, three, four), rows, columns)


def _same(one: Lattice, other: Lattice) -> bool:
    if (one.rows, one.columns) != (other.rows, other.columns):
        return False
    return float(np.abs(np.subtract(one.corners, other.corners)).max()) <= _SAME * one.pitch
