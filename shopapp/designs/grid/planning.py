"""The door to the planner for grids: their places from records, their cells from stored pictures."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping

import numpy as np
from PIL import Image

from planner.pattern import LARGEST_SIDE
from planner.picture import (
    RULED,
    Lattice,
    PictureError,
    PictureGrid,
    Sides,
    background_toggled,
    carried,
    read_at,
    read_picture,
)
from shopapp.designs.pictures.planning import grid_png

__all__ = [
    "LARGEST_SIDE",
    "RULED",
    "Lattice",
    "PictureGrid",
    "background_toggled",
    "carried_to",
    "cells_at",
    "grid_of",
    "grid_png",
    "place_again",
    "place_of",
]

# What a reading calls itself, in a maker's words.
KINDS = {
    "native": "one pixel a square",
    "scaled": "enlarged without loss",
    "resampled": "an enlargement with soft edges",
    "turned": "a picture that is not upright",
    "chart": "a chart with ruled lines",
    "photographed": "a photo of a chart",
}


def place_of(record: object) -> Lattice:
    """A lattice from its JSON record. Raises PlannerError for nonsense."""
    return Lattice.from_record(record)


def place_again(original_png: bytes, reading: Mapping[str, object]) -> Lattice:
    """The place of a grid that was read before places were written down: read once more, or, where that answers
    otherwise now, spread over the whole picture."""
    rows, columns = int(str(reading["rows"])), int(str(reading["columns"]))
    try:
        again = read_picture(original_png).lattice
    except PictureError:
        again = None
    if again is not None and (again.rows, again.columns) == (rows, columns):
        return again
    with Image.open(io.BytesIO(original_png)) as image:
        return Lattice.upright(0, 0, image.width / columns, image.height / rows, rows=rows, columns=columns)


def grid_of(png: bytes) -> PictureGrid:
    """A stored grid, one pixel a cell, transparent where it is background."""
    cells = np.asarray(Image.open(io.BytesIO(png)).convert("RGBA"))
    return PictureGrid(np.ascontiguousarray(cells[..., :3]), cells[..., 3] > 0)


def cells_at(original_png: bytes, lattice: Lattice, *, lines: bool) -> PictureGrid:
    """The cells of a stored picture where a maker laid the grid."""
    return read_at(original_png, lattice, lines=lines)


def carried_to(
    stored: PictureGrid,
    sides: Mapping[str, int],
    original_png: Callable[[], bytes],
    lattice: Lattice,
    *,
    lines: bool,
    look_again: bool,
) -> PictureGrid:
    """A stored grid with so many rows and columns more on each side, the squares it has as they stand; the picture is
    opened only where there are more. ``look_again`` as in ``carried``."""
    moved = Sides(**sides)
    fresh = cells_at(original_png(), lattice, lines=lines) if moved.grow else None
    return carried(stored, moved, fresh, look_again=look_again)
