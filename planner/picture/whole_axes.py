"""Into how many whole cells a side may fall, by where the picture changes along it."""

from __future__ import annotations

import numpy as np

from planner.pattern import LARGEST_SIDE
from planner.picture.exact_cells import ONE_OR_TWO, Axis
from planner.picture.factors import Places


def whole_axes(changes: Places, side: int) -> list[Axis]:
    """The counts of cells that explain all ``changes`` along a ``side`` of so many pixels, in one axis each.

    Gone round the pitch, the changes and the picture's own edge, at nought, must lie within a pixel: what is left of
    the circle is its largest gap.
    """
    counts = np.arange(1, min(side, LARGEST_SIDE) + 1)
    pitch = side / counts
    past = np.sort(np.concatenate([[0], changes])[:, None] % pitch[None, :], axis=0)
    gaps = np.concatenate([np.diff(past, axis=0), past[:1] + pitch - past[-1:]])
    widest, each = gaps.argmax(axis=0), np.arange(len(counts))
    within = pitch - gaps[widest, each]
    # The first past the gap, which the edge, at nought, does not come before.
    low = past[(widest + 1) % len(past), each]
    low = np.where(low > 1e-9, low - pitch, 0.0)
    # Programs that round halves to the even number need the whole pixel, both ends included, but not for small cells;
    # nor may two changes side by side, between which a filter mixed colours, begin one cell so.
    halves = len(changes) > 0 and np.diff(changes).min(initial=side) > 1
    halves = halves & (within < 1 + 1e-9) & (pitch >= ONE_OR_TWO) & (low < -1e-9) & (low > -1 + 1e-9)
    fits = (within < 1 - 1e-9) | halves
    # No two changes begin one cell.
    fits &= len(changes) < counts
    found = []
    for at in np.flatnonzero(fits):
        first, last = float(low[at]), float(low[at] + within[at])
        offset = (first + min(last - 1, 0)) / 2 if last > 1e-9 or first < -1e-9 else 0.0
        found.append(Axis(offset, float(pitch[at]), int(counts[at])))
    return found
