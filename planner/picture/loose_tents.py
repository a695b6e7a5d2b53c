"""Grids that a smooth filter drew in one step and that do not fill the picture: with a margin, or cut from a screen.

Between the middles of two cells such a picture runs straight, and at the middles it bends; the bends, summed along the
picture, are peaks a pitch apart. Their Fourier transform tells the pitch and, by its phase, where the middles lie; what
is heard is then tried on the picture itself.
"""

from __future__ import annotations

from math import ceil, log

import numpy as np

from planner.pattern import LARGEST_SIDE
from planner.picture.channels import summed
from planner.picture.exact_cells import Axis
from planner.picture.loose import Loose, heard_best
from planner.picture.redraw import SMOOTH, Floats, Picture, Shape, Side

# Cells from so many pixels are listened for.
_LEAST_PITCH = 4.0
# So many of the pitches that are heard best are tried.
_MOST_HEARD = 4
# Around a pitch that was heard these are tried, as shares of the drift they make from end to end of the picture in
# pixels, and around the places of the middles these, as parts of a cell.
_DRIFTS, _SHIFTS = (-0.5, 0.0, 0.5), (-0.08, 0.0, 0.08)
# A pitch is compared with those off by these shares, each at so many places of the middles.
_BESIDE, _PLACES = (0.93, 0.955, 1.05, 1.075), 3
# What stands out so much is drawn in by steps of so many pixels at either end.
_DRAWN_IN, _STEPS = 0.3, (0.5, 0.25, 0.1)
_UNSEEN = 2.0
_HEARD_AT_ALL = 0.05
_TENT = Shape("tent")


def loose_tents(picture: Picture, down: Side, across: Side, most: int) -> list[Loose]:
    """Grids of tents anywhere on a picture (height × width × channels) whose sides are ``down`` and ``across``, those
    that stand out most first."""
    found: list[Loose] = []
    height, width = picture.shape[:2]
    bends = [_bends(picture, axis) for axis in (0, 1)]
    for pitch in heard_best(bends, height, width, _LEAST_PITCH, _MOST_HEARD):
        row = _placed(down, pitch, _middle(bends[0], pitch))
        # What does not stand out at all one way is no grid, and need not be placed the other way.
        if row is None or row[1] < _HEARD_AT_ALL:
            continue
        column = _placed(across, pitch, _middle(bends[1], pitch))
        if column is None or abs(log(row[0].pitch / column[0].pitch)) > 0.02:
            continue
        stands = (row[1] + column[1]) / 2
        rows, columns = row[0], column[0]
        if stands >= _DRAWN_IN and all(stands > other.stands_out for other in found):
            # Tents would be drawn in askew where another filter drew.
            lefts = {shape: down.left_by(rows, shape) + across.left_by(columns, shape) for shape in SMOOTH}
            shape = min(SMOOTH, key=lambda one: lefts[one])
            rows, columns = _drawn_in(down, rows, shape), _drawn_in(across, columns, shape)
        found.append(Loose(rows, columns, stands))
    return sorted(found, key=lambda grid: -grid.stands_out)[:most]


def _bends(picture: Picture, axis: int) -> Floats:
    """How much the lines of a picture bend at each place along an axis, the ends left out."""
    bends = summed(np.abs(np.diff(picture, n=2, axis=axis))).sum(axis=1 - axis).astype(np.float64)
    # One long border of a page shall not be heard above the cells.
    bends = np.minimum(bends, np.quantile(bends, 0.97))
    return np.asarray(bends - bends.mean())


def _middle(bends: Floats, pitch: float) -> float:
    """Where the first middle of a cell lies, in pixels from the picture's edge, as the phase of the bends tells."""
    # A second difference stands at the middle of its three pixels.
    places = np.arange(len(bends)) + 1.5
    wave = (bends * np.exp(-2j * np.pi * places / pitch)).sum()
    return float((-np.angle(wave) / (2 * np.pi) % 1) * pitch)


def _placed(side: Side, pitch: float, middle: float) -> tuple[Axis, float] | None:
    """The axis near a pitch whose tents leave least, and how far it stands out."""
    tried = [
        (side.left_by(axis, _TENT), axis)
        for drift in _DRIFTS
        for shift in _SHIFTS
        if (axis := _axis(side, pitch * (1 + drift / side.length), middle + shift * pitch)) is not None
    ]
    if not tried:
        return None
    left, best = min(tried, key=lambda one: one[0])
    beside = [
        min(side.left_by(axis, _TENT) for axis in axes)
        for times in _BESIDE
        if (axes := [a for n in range(_PLACES) if (a := _axis(side, best.pitch * times, n * pitch / _PLACES))])
    ]
    if not beside:
        return None
    stands = float(np.median(np.log(np.array(beside) + _UNSEEN))) - log(left + _UNSEEN)
    return best, stands


def _drawn_in(side: Side, axis: Axis, shape: Shape) -> Axis:
    """The axis of as many cells close by that leaves least, its two ends moved by themselves."""
    best, left = axis, side.left_by(axis, shape)
    for step in _STEPS:
        moved = True
        while moved:
            moved = False
            for first, last in ((step, 0.0), (-step, 0.0), (0.0, step), (0.0, -step)):
                pitch = best.pitch + (last - first) / best.count
                tried = Axis(best.offset + first, pitch, best.count)
                least = side.left_by(tried, shape)
                if least < left:
                    best, left, moved = tried, least, True
    return best


def _axis(side: Side, pitch: float, middle: float) -> Axis | None:
    """The cells of an axis, one of whose middles is given: all whose middle lies on the picture."""
    first = middle % pitch
    count = ceil((side.length - first) / pitch)
    return Axis(first - pitch / 2, pitch, count) if 2 <= count <= LARGEST_SIDE else None
