"""Where a picture has ridges: thin lines darker, or lighter, than what lies on both sides of them.

The edge between two colours is none, however sharp: there one side is as dark as the middle. So pixel art, which is
all edges, shows next to nothing here, and ruled paper everything.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

# The sides are looked at so many pixels off the middle: past a line of three pixels or one of one pixel that was
# resampled, yet well inside the neighbouring cell of the smallest pitch that is searched for.
SIDE = 2
# A ridge counts for no more than this in each channel, of 255: a drawing's own bold strokes shall not outweigh the
# many faint lines of its ruling. Settled by trial.
MOST = 28
# Strips the picture is summed in along the lines: few enough to be quick, narrow enough that a line turned by three
# degrees stays within two pixels inside one strip of a picture of 1500 pixels.
STRIPS = 48
# Rows of pixels that are looked at.
_ROWS = 480


def ridge_strips(rgb: NDArray[np.uint8], upright: bool) -> tuple[NDArray[np.float32], float]:
    """How much of an upright (or level) ridge each column (or row) of pixels holds, in strips across the ridges:
    strips × pixels, and the height of a strip in pixels."""
    # Sums want no more rows than this; every second or third of a tall picture does as well.
    step = max(1, rgb.shape[0 if upright else 1] // _ROWS)
    rows = rgb[::step] if upright else np.ascontiguousarray(rgb[:, ::step].swapaxes(0, 1))
    left, middle, right = rows[:, : -2 * SIDE], rows[:, SIDE:-SIDE], rows[:, 2 * SIDE :]
    low, high = np.minimum(left, right), np.maximum(left, right)
    # In bytes: what is below the lower side, and what is above the higher one; one of the two is nought.
    ridge = (low - np.minimum(low, middle)) | (np.maximum(high, middle) - high)
    np.minimum(ridge, MOST, out=ridge)
    each = max(1, len(rows) // STRIPS)
    whole = len(rows) // each
    strips = np.zeros((whole, rows.shape[1]), dtype=np.float32)
    # The rows of a strip are added first, in numbers just wide enough for them.
    summed = ridge[: whole * each].reshape(whole, each, -1).sum(axis=1, dtype=np.uint16)
    strips[:, SIDE:-SIDE] = summed.reshape(whole, -1, 3).sum(axis=2, dtype=np.uint32) / (3 * each)
    return strips, float(each * step)
