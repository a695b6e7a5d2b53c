"""What the lengths of runs tell of a picture that was enlarged by little.

Where a cell is one pixel or two, or two or three, the places of the changes alone tell little. But strokes of two cells
are then three pixels wide here and four there, while whoever draws at one pixel a cell draws them alike. So the runs of
one colour are told in fewer nats counted in the cells they were drawn in than in any others. Runs are told one after
another, each by how often its length came before (the estimator of R. Krichevsky and V. Trofimov, "The performance of
universal encoding", IEEE Transactions on Information Theory 27 (1981) 199-207, with a smaller share for what is new).
"""

from __future__ import annotations

from dataclasses import replace
from math import lgamma

import numpy as np
from numpy.typing import NDArray

from planner.picture.exact_cells import Cells, Codes
from planner.picture.factors import Places

# Below so many pixels a cell the lengths of runs are asked.
_BARELY = 2.4

# What a length that did not come before counts beside one that came once, and how many lengths there may be.
_NEW, _LENGTHS = 0.1, 64
# So large a part of the changes may be odd ones in a drawing in strokes of two.
_ODD = 0.2
# Steps between the cells of a smooth picture change from one to the next by less than this part of themselves; where
# cells have edges of their own, by as much and more.
_SMOOTH = 0.8


def with_evenness(codes: Codes, down: Places, across: Places, found: list[Cells], beside: list[Cells]) -> list[Cells]:
    """The readings of a picture that changes ``down`` and ``across`` there, weighed by the lengths of their runs too
    where one of them, or of those ``beside`` them, is of cells so small that places tell little."""
    if not any(not one.even and min(one.rows.pitch, one.columns.pitch) < _BARELY for one in [*found, *beside]):
        return found
    in_pixels = nats_of_runs(codes)
    # A page that is not believed stands beside one pixel a cell, whatever its runs.
    gains = [in_pixels - nats_of_runs(one.of(codes)) if one.believed or not one.framed else 0.0 for one in found]
    if in_strokes_of_two(down, across):
        gains = [min(gain, 0.0) for gain in gains]
    return [replace(one, evenness=gain) for one, gain in zip(found, gains, strict=True)]


def nats_of_runs(codes: Codes) -> float:
    """What it takes to tell how long the runs of one number are, along the rows and down the columns; of those that
    begin and end at the same places one is told, and those that begin or end with the picture may be cut.

    >>> even, uneven = np.array([[0, 1, 1, 2, 2, 3, 3, 4]]), np.array([[0, 1, 2, 2, 3, 3, 3, 4]])
    >>> nats_of_runs(even.astype(np.uint32)) < nats_of_runs(uneven.astype(np.uint32))
    True
    """
    return sum(nats_of_lengths(_lengths(lines)) for lines in (codes, codes.T))


def _lengths(lines: Codes) -> NDArray[np.int64]:
    row, column = np.nonzero(lines[:, 1:] != lines[:, :-1])
    same = row[1:] == row[:-1]
    start, end = column[:-1][same], column[1:][same]
    told = np.unique(start * lines.shape[1] + end)
    return np.asarray(told % lines.shape[1] - told // lines.shape[1], dtype=np.int64)


def nats_of_lengths(lengths: NDArray[np.int64]) -> float:
    """What it takes to tell so many lengths one after another."""
    if not len(lengths):
        return 0.0
    _, times = np.unique(lengths, return_counts=True)
    all_new = _NEW * _LENGTHS
    own = sum(lgamma(int(n) + _NEW) - lgamma(_NEW) for n in times)
    return lgamma(len(lengths) + all_new) - lgamma(all_new) - own


def in_strokes_of_two(down: Places, across: Places) -> bool:
    """Whether nearly all changes along each side lie an even number of pixels apart: then the picture may be drawn in
    strokes of two pixels, which are as even."""
    odd = [np.mean(places % 2) if len(places) else 0.0 for places in (down, across)]
    return all(min(share, 1 - share) <= _ODD for share in odd)


def runs_smoothly(codes: Codes) -> bool:
    """Whether RGBA cells, one number each, run into one another as a smooth filter makes them."""
    cells = np.ascontiguousarray(codes).view(np.uint8).reshape(*codes.shape, 4).astype(np.int16)
    steps = bends = 0.0
    for axis in (0, 1):
        steps += float(np.abs(np.diff(cells, axis=axis)).mean())
        bends += float(np.abs(np.diff(cells, n=2, axis=axis)).mean()) if cells.shape[axis] > 2 else 0.0
    return bends < _SMOOTH * steps
