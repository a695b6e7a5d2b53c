"""How many pixels a cell of enlarged pixel art measures, and where its cells start.

Enlarged without loss, colours change between neighbouring rows and columns of pixels only at the edges of cells.
In a whole picture those lie at multiples of the cell's size, and so do the picture's sides. Where a picture was
cropped or cut from a screen, they lie a multiple of the size apart, and the outermost cells may be cut.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import gcd

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE

# When the cut reading is taken although the whole one would do as well: its cells must be so many times larger, and
# each axis must show at least so many edges. Drawn in strokes three cells wide, with a margin of one, a small picture
# fits larger cut cells by its design; eight edges and more all in step do not come about so. Settled by trial: of 1027
# icons of 24 by 24 none is taken for a cut one.
_TIMES_AND_EDGES = ((3, 8), (8, 4))
# As above where the whole reading has more cells than a pattern may have, so that it is this or none.
_EDGES_AT_LEAST = 3


@dataclass(frozen=True, slots=True)
class Cells:
    """Cells of ``size`` pixels; ``rows`` and ``columns`` hold the first pixel of each, from the top left."""

    size: int
    rows: tuple[int, ...]
    columns: tuple[int, ...]
    cut: bool


def find_cells(pixels: NDArray[np.uint8]) -> Cells:
    """The largest square cells of one colour each that explain an RGBA picture to the last pixel.

    Any picture is explained by cells of one pixel.
    """
    codes = np.ascontiguousarray(pixels).view(np.uint32)[..., 0]
    height, width = codes.shape
    edges = ((codes[1:] != codes[:-1]).any(axis=1), (codes[:, 1:] != codes[:, :-1]).any(axis=0))
    down, across = ([int(place) + 1 for place in np.flatnonzero(changed)] for changed in edges)
    whole = gcd(height, width, *down, *across)
    apart = gcd(*(place - places[0] for places in (down, across) for place in places))
    if apart > whole and _take_cut(max(height, width), whole, apart, min(len(down), len(across))):
        rows, columns = _starts(down[0] % apart, height, apart), _starts(across[0] % apart, width, apart)
        if max(len(rows), len(columns)) <= LARGEST_SIDE:
            return Cells(apart, rows, columns, cut=True)
    return Cells(whole, tuple(range(0, height, whole)), tuple(range(0, width, whole)), cut=False)


def _take_cut(side: int, whole: int, apart: int, edges: int) -> bool:
    if side // whole > LARGEST_SIDE:
        return edges >= _EDGES_AT_LEAST
    return any(apart >= times * whole and edges >= least for times, least in _TIMES_AND_EDGES)


def _starts(first: int, side: int, size: int) -> tuple[int, ...]:
    return (0,) * (first > 0) + tuple(range(first, side, size))
