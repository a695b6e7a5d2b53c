"""Which colour of a picture's edge is that of the ground around the drawing, and whether it might be another.

Three things speak for a colour: how much of the edge it wears, how many corners, for what is drawn seldom reaches into
them, and that it does so in long runs, not speckled as in a pattern. A colour that wears all of one side, nothing of
the side across and only parts of the two between is a sky or a floor of the drawing.
"""

from __future__ import annotations

from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
_Kind = TypeVar("_Kind", bound=np.generic)

# None to four corners count as much as so large a part of the edge; but all four count as all of it where nothing else
# of the edge wears the colour, and so much of the rest is of one: so a plate with its corners rounded off lies on its
# ground. What counts for a ground is more than the mark. Settled by trial on the development set, cut to
# what is drawn and with a margin of one or two.
_CORNERS, _PLATE, _RIM, GROUND = np.array([0.0, 0.2, 0.4, 0.5, 0.5]), 1.0, 0.6, 0.8
# A run shorter than this in the mean is a pattern's. A colour that so many of all cells wear, with some on every side,
# is no pattern's, and counts as if it had the corners, whatever is drawn in them; but where its runs over all cells,
# the way they are longer, are shorter than the last, it is speckled over them, as dithering is.
_RUN, _WIDE, _RUN_OVER_ALL = 2.0, 0.5, 3.0
# The sides of a sky or floor are worn by its colour over less than so much.
_BESIDE = 0.85
# One of less than so much is plainly that, where it goes so deep in the mean as at those sides, or nearly: beside a
# roof, or a head and shoulders, a ground goes up and down.
_LOW, _AS_DEEP = 0.5, 0.75


def edge_of(cells: NDArray[_Kind]) -> NDArray[_Kind]:
    """The cells around the edge of rows × columns (× more), clockwise from the top left."""
    return np.concatenate([cells[0], cells[1:, -1], cells[-1, -2::-1], cells[-2:0:-1, 0]])


def worth_as_ground(
    worn: Mask, rows: int, columns: int, *, skies: bool = True, spread: NDArray[np.floating[Any]] | None = None
) -> Floats:
    """What counts for each of several colours to be the ground's, from 0, less the mark: above 0 it is likely one.

    ``worn`` is colours × edge, in the order of ``edge_of``; ``skies`` leaves out what is a sky or a floor; ``spread``
    is how far each colour spreads over all cells, see ``spread_of``, where that is known.
    """
    at = np.array([0, columns - 1, columns + rows - 2, 2 * columns + rows - 3])
    share, corners = worn.mean(axis=1), worn[:, at].sum(axis=1)
    starts = (worn & ~np.roll(worn, 1, axis=1)).sum(axis=1)
    plate = (corners == 4) & (starts == 4) & (share.max() >= _RIM * (1 - share))
    in_runs = worn.sum(axis=1) >= _RUN * starts
    corner = _CORNERS[corners]
    if spread is not None:
        wide = (spread >= _WIDE) & (sides_of(worn, rows, columns) > 0).all(axis=0) & ~plate.any()
        in_runs |= wide
        corner = np.where(wide, _CORNERS[-1], corner)
    worth = share + np.where(plate, _PLATE, corner)
    worth[~in_runs & ~plate] = 0
    if skies:
        worth[sky_or_floor(worn, rows, columns)] = 0
    return np.asarray(worth - GROUND, dtype=np.float64)


def spread_of(worn: Mask) -> float:
    """The share of all cells, rows × columns, that wear a colour; 0 where it is speckled over them."""
    share = np.count_nonzero(worn) / worn.size
    if share < _WIDE:
        return share
    starts = min(int(way[0].sum() + (way[1:] & ~way[:-1]).sum()) for way in (worn, worn.T))
    return share if worn.sum() >= _RUN_OVER_ALL * starts else 0.0


def sky_or_floor(worn: Mask, rows: int, columns: int) -> Mask:
    """Which of several colours, colours × edge, are that of a sky or a floor."""
    sides = sides_of(worn, rows, columns)
    found = np.zeros(len(worn), dtype=np.bool_)
    for side in range(4):
        beside = np.maximum(sides[side - 1], sides[(side + 1) % 4])
        found |= (sides[side] == 1) & (sides[side - 2] == 0) & (beside < _BESIDE)
    return found


def is_band(wearing: Mask) -> bool:
    """Whether cells of one colour, rows × columns, are plainly a sky or a floor: a band all along one side."""
    sides = sides_of(edge_of(wearing)[None], *wearing.shape)[:, 0]
    for side in range(4):
        beside = np.array([sides[side - 1], sides[(side + 1) % 4]])
        if sides[side] == 1 and sides[side - 2] == 0 and beside.max() < _LOW:
            return bool(wearing.mean() >= _AS_DEEP * beside.mean())
    return False


def sides_of(worn: Mask, rows: int, columns: int) -> Floats:
    """The share of the top, right, bottom and left side that each of several colours wears, 4 × colours."""
    right, bottom, left = columns - 1, columns + rows - 2, 2 * columns + rows - 3
    return np.stack(
        [
            worn[:, :columns].mean(axis=1),
            worn[:, right : right + rows].mean(axis=1),
            worn[:, bottom : bottom + columns].mean(axis=1),
            np.concatenate([worn[:, left:], worn[:, :1]], axis=1).mean(axis=1),
        ]
    )
