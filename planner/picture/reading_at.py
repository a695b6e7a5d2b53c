"""The cells of a picture at a lattice that a maker laid over it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.aside import drift_of, set_aside
from planner.picture.decode import MAX_CLEAN_BYTES, decode, too_much_memory
from planner.picture.grid import OPAQUE, PictureGrid
from planner.picture.lattice import Lattice
from planner.picture.redraw import Floats

# Each cell is looked at in a square of so many places a side, over so large a part of it: between ruled lines over half
# of it, for the lines' own edges are soft; else closer to the middle, where a blurred cell has its own colour.
_PLACES = 5
_PART, _PART_IN_LINES = 0.4, 0.5


def read_at(data: bytes, lattice: Lattice, *, lines: bool = False) -> PictureGrid:
    """The cells of a picture file at a lattice: of each its middle colour, background set aside as usual.

    ``lines`` says that lines are ruled between the cells. What of the lattice lies outside of the picture takes the
    colour of the picture's edge. Raises PictureError as ``decode`` does.
    """
    try:
        pixels = np.array(decode(data, MAX_CLEAN_BYTES).image)
    except MemoryError as error:
        raise too_much_memory() from error
    return grid_at(pixels, lattice, lines=lines)


def grid_at(pixels: NDArray[np.uint8], lattice: Lattice, *, lines: bool, running: bool = True) -> PictureGrid:
    """The same of RGBA pixels; without ``running`` no ground is looked for whose colours run."""
    colours = cell_medians(pixels, lattice, _PART_IN_LINES if lines else _PART)
    opaque = colours[..., 3] >= OPAQUE
    rgb = np.where(opaque[..., None], np.rint(colours[..., :3]), 0).astype(np.uint8)
    filled, _ = set_aside(rgb, None if opaque.all() else opaque, drift=drift_of(0.0), running=rgb if running else None)
    return PictureGrid(rgb, filled)


def cell_medians(pixels: NDArray[np.uint8], lattice: Lattice, part: float) -> Floats:
    """The median colour of each cell, rows × columns × channels, over the middle ``part`` of it."""
    height, width = pixels.shape[:2]
    steps = 0.5 + part * (np.arange(_PLACES) / (_PLACES - 1) - 0.5)
    across = (np.arange(lattice.columns)[:, None] + steps).ravel()
    down = (np.arange(lattice.rows)[:, None] + steps).ravel()
    x, y = lattice.places(across[None, :], down[:, None])
    taken = pixels[np.clip(y, 0, height - 1).astype(np.int64), np.clip(x, 0, width - 1).astype(np.int64)]
    cells = taken.reshape(lattice.rows, _PLACES, lattice.columns, _PLACES, -1).transpose(0, 2, 1, 3, 4)
    return np.asarray(np.median(cells.reshape(lattice.rows, lattice.columns, _PLACES**2, -1), axis=2))
