"""Whether two colours were brought together as one."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.colour import ciede2000, srgb_to_lab
from planner.picture.redraw import Floats

# Split where it splits best, what scatters as noise does keeps a third of its variance and more within the halves (of
# a normal law 1 - 2 / pi); two colours keep next to none. Halves of fewer than this share of all cells are no matter,
# nor are those nearer than this in CIEDE2000.
_KEPT, _FEW, _APART = 0.15, 0.01, 3.0


def two_taken_for_one(before: Floats, rgb: NDArray[np.uint8]) -> bool:
    """Whether cells brought to one colour were of two: ``before`` as they were read, rows × columns × 3, and ``rgb``
    as they were brought together."""
    read = before.reshape(-1, 3)
    colours, which, times = np.unique(rgb.reshape(-1, 3), axis=0, return_inverse=True, return_counts=True)
    least = max(2, round(_FEW * len(read)))
    return any(_splits(read[which.ravel() == at], least) for at in range(len(colours)) if times[at] >= 2 * least)


def _splits(read: Floats, least: int) -> bool:
    """Whether cells fall into two halves, of ``least`` each, in one of the channels."""
    count = len(read)
    for k in range(3):
        order = np.argsort(read[:, k], kind="stable")
        values = read[order, k] - read[:, k].mean()
        whole = float((values**2).sum())
        sizes = np.arange(1, count)
        # The sum of squares between two halves of which the lower sums up to s is s² (1 / n + 1 / m).
        between = np.cumsum(values)[:-1] ** 2 * (1 / sizes + 1 / (count - sizes))
        between[: least - 1] = between[count - least :] = 0
        best = int(between.argmax())
        if whole - between[best] < _KEPT * whole:
            one, other = read[order[: best + 1]].mean(axis=0), read[order[best + 1 :]].mean(axis=0)
            if ciede2000(srgb_to_lab(one), srgb_to_lab(other)) > _APART:
                return True
    return False
