"""Grids that do not fill the picture: with a margin, on a page, or cut from a screen.

The edges of cells, summed along the picture, are peaks a pitch apart; how strongly each pitch is heard in them is told
by their Fourier transform, and where they stand by its phase. What is heard is then tried on the picture itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.channels import summed
from planner.picture.exact_cells import Axis
from planner.picture.redraw import Floats, Picture, Side

# Cells from so many pixels to so large a part of the shorter side are listened for.
_LEAST_PITCH, _MOST_PART = 3.5, 1 / 4
# The transform is taken this many times as fine as the picture's length gives of itself.
_FINE = 16
# So many of the pitches that are heard best are tried, with these multiples: a pitch is heard in its halves and thirds.
_MOST_HEARD, _MULTIPLES = 5, (1.0, 2.0, 3.0)
# Around a pitch that was heard these are tried, as shares of the drift they make from end to end of the picture in
# pixels; and so many offsets.
_DRIFTS, _OFFSETS = np.arange(-1.2, 1.21, 0.4), 12
# A pitch is compared with those off by these shares.
_BESIDE = np.array([0.93, 0.955, 1.05, 1.075])
# An outermost cell is one when so much of it is on the picture.
SHOWN = 0.4
_UNSEEN = 2.0
# Cells so many times as large are taken instead where their grid stands out by so much, in nats, and leaves no more
# than the finer one, but for so much. Of 80 turned pictures, all that were read too fine had a coarser grid that stood
# out by 1.4 and more and left less than 0.4 more; of those read right none stood out by 1 or left so little. Cells of a
# fifth explain more by their mere number.
_COARSER, _STANDS_OUT = {3: 0.5, 2: 0.5, 5: 0.75}, 1.2


@dataclass(frozen=True, slots=True)
class Loose:
    """Rows and columns of a grid, and how far it stands out, in nats of the mean square left over."""

    rows: Axis
    columns: Axis
    stands_out: float


def coarser(rows: Axis, columns: Axis, down: Side, across: Side) -> Loose | None:
    """A grid of cells two, three or five times as large that explains a picture as well as one that was found, wherever
    its cells start; None where none does. Half a cell of margin makes a picture a whole number of half cells."""
    for times, as_much in _COARSER.items():
        row, column = _placed(down, rows.pitch * times), _placed(across, columns.pitch * times)
        if row is None or column is None:
            continue
        # The finer grid at the same place, lest half a pixel off counts against the one or the other.
        finer = sum(_left_by_part(side, axis, times) for side, axis in ((down, row[0]), (across, column[0])))
        stands, left = (row[2] + column[2]) / 2, row[1] + column[1]
        if stands >= _STANDS_OUT and log((left + _UNSEEN) / (finer + _UNSEEN)) <= as_much:
            return Loose(row[0], column[0], stands)
    return None


def _left_by_part(side: Side, axis: Axis, times: int) -> float:
    """What is left by boxes of a part of the cells of an axis."""
    pitch = axis.pitch / times
    return side.left_by_boxes(_edges(axis.offset % pitch, pitch, side.length))


def loose_grids(picture: Picture, down: Side, across: Side, most: int) -> list[Loose]:
    """Grids anywhere on a picture (height × width × channels), those that stand out most first."""
    found: list[Loose] = []
    for pitch in _heard(picture):
        row, column = _placed(down, pitch), _placed(across, pitch)
        if row is None or column is None or abs(log(row[0].pitch / column[0].pitch)) > 0.02:
            continue
        stands = (row[2] + column[2]) / 2
        grid = Loose(row[0], column[0], stands)
        if all(abs(log(grid.rows.pitch / other.rows.pitch)) > 0.01 for other in found):
            found.append(grid)
    return sorted(found, key=lambda grid: -grid.stands_out)[:most]


def _heard(picture: Picture) -> list[float]:
    """The pitches heard best in the edges of both ways together, with their multiples."""
    height, width = picture.shape[:2]
    profiles = []
    for axis in (0, 1):
        edges = summed(np.abs(np.diff(picture, axis=axis))).sum(axis=1 - axis)
        # One long border of a page shall not be heard above the cells.
        edges = np.minimum(edges, np.quantile(edges, 0.98))
        profiles.append(edges - edges.mean())
    best = heard_best(profiles, height, width, _LEAST_PITCH, _MOST_HEARD)
    wanted = [pitch * times for times in _MULTIPLES for pitch in best]
    kept: list[float] = []
    for pitch in wanted:
        inside = _LEAST_PITCH <= pitch <= _MOST_PART * min(height, width)
        if inside and all(abs(log(pitch / other)) > 0.004 for other in kept):
            kept.append(pitch)
    return kept


def heard_best(
    profiles: Sequence[NDArray[np.floating[Any]]], height: int, width: int, least: float, most: int
) -> list[float]:
    """The ``most`` pitches heard best in what was summed along both ways of a picture together, best first; none of
    less than ``least`` pixels or more than a part of the shorter side."""
    size = _FINE * max(height, width)
    strength = np.zeros(size // 2 + 1)
    for sums in profiles:
        strength += np.abs(np.fft.rfft(sums * np.hanning(len(sums)), size)) / max(float(np.linalg.norm(sums)), 1e-9)
    pitches = size / np.maximum(np.arange(len(strength)), 1)
    peak = np.zeros(len(strength), dtype=np.bool_)
    peak[1:-1] = (strength[1:-1] > strength[:-2]) & (strength[1:-1] >= strength[2:])
    peak &= (pitches >= least) & (pitches <= _MOST_PART * min(height, width))
    places = np.flatnonzero(peak)
    return [float(pitches[place]) for place in places[np.argsort(-strength[places], kind="stable")[:most]]]


def _placed(side: Side, pitch: float) -> tuple[Axis, float, float] | None:
    """The axis near a pitch that leaves least, the mean square it leaves, and how far it stands out."""
    lefts, offsets = _tried(side, pitch * (1 + _DRIFTS / side.length), _OFFSETS)
    best = int(lefts.argmin())
    left, at, offset = float(lefts[best]), float(pitch * (1 + _DRIFTS[best] / side.length)), float(offsets[best])
    beside, _ = _tried(side, at * _BESIDE, _OFFSETS // 2)
    stands = float(np.median(np.log(beside + _UNSEEN))) - log(left + _UNSEEN)
    # From the first cell that shows enough to the last.
    first = -1 if offset >= SHOWN * at else 0
    last = floor((side.length - offset) / at)
    if side.length - offset - last * at >= SHOWN * at:
        last += 1
    count = last - first
    if not 2 <= count <= LARGEST_SIDE:
        return None
    return Axis(offset + first * at, at, count), left, stands


def _tried(side: Side, pitches: Floats, offsets: int) -> tuple[Floats, Floats]:
    """For each pitch the least that boxes leave at any offset, and that offset."""
    starts = pitches[:, None] * (np.arange(offsets) / offsets)
    most = ceil(side.length / pitches.min()) + 1
    edges = np.rint(starts[..., None] + np.arange(-1, most + 1) * pitches[:, None, None])
    edges = edges.clip(0, side.length).astype(np.int64)
    edges[..., 0], edges[..., -1] = 0, side.length
    lefts = side.left_by_each(edges)
    best = lefts.argmin(axis=1)
    each = np.arange(len(pitches))
    return lefts[each, best], starts[each, best]


def _edges(offset: float, pitch: float, length: int) -> NDArray[np.int64]:
    inner = np.rint(offset + np.arange(ceil((length - offset) / pitch)) * pitch).astype(np.int64)
    inner = inner[(inner > 0) & (inner < length)]
    return np.concatenate([[0], inner, [length]])
