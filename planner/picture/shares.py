"""The colours of cells in a file that keeps lightness pixel by pixel and the two shares of colour for several at once.

JPEG and WebP do so (ITU-T T.871, clause 7, for the axes; ITU-T T.81, A.1.1, for the sampling): each share is the mean
of so many pixels, and is spread over them again in proportion to how near they lie. In cells of a few pixels every
share is so mixed with that of the cells beside it. What mixes them is known, so that they follow by least squares as
the cells themselves do.
"""

from __future__ import annotations

import numpy as np

from planner.picture.exact_cells import Axis
from planner.picture.redraw import Floats, Picture, Shape, between, drawing

# Lightness and both shares of colour of red, green and blue.
_AXES = np.array([[0.299, 0.587, 0.114], [-0.168736, -0.331264, 0.5], [0.5, -0.418688, -0.081312]])
_BACK = np.linalg.inv(_AXES)
# Of the two shares of neighbours the nearer counts so much for a pixel, as decoders have it.
_NEARER = 0.75
_HOLDING = 1e-6


def with_own_shares(
    cells: Floats, values: Picture, rows: Axis, columns: Axis, shape: Shape, kept: tuple[int, int]
) -> Floats:
    """Cells, rows × columns × 3, with their own shares of colour, of a picture (height × width × 3) that was decoded
    from a file that ``kept`` one share for so many pixels down and across, two at most; their lightness stays."""
    height, width, _ = values.shape
    left, right = (
        _inverse(_mixing(side, many) @ drawing(axis, side, shape))
        for axis, side, many in ((rows, height, kept[0]), (columns, width, kept[1]))
    )
    shares = between(left, (values @ _AXES[1:].T).astype(np.float32), right)
    lightness = cells @ _AXES[:1].T
    return np.asarray(np.concatenate([lightness, shares], axis=2) @ _BACK.T)


def _mixing(side: int, many: int) -> Floats:
    """The matrix that makes of what each pixel of a side was what it came to be.

    >>> _mixing(4, 2)[1].tolist()
    [0.375, 0.375, 0.125, 0.125]
    """
    if many == 1:
        return np.eye(side)
    pairs = -(-side // 2)
    mean, spread = np.zeros((pairs, side)), np.zeros((side, pairs))
    each = np.arange(side)
    mean[each // 2, each] = 1
    mean /= mean.sum(axis=1, keepdims=True)
    beside = np.clip(each // 2 + np.where(each % 2, 1, -1), 0, pairs - 1)
    spread[each, each // 2] += _NEARER
    spread[each, beside] += 1 - _NEARER
    return spread @ mean


def _inverse(matrix: Floats) -> Picture:
    square = matrix.T @ matrix + _HOLDING * np.eye(matrix.shape[1])
    return np.linalg.solve(square, matrix.T).astype(np.float32)
