"""Values that the camera cut off at white, as far as their like elsewhere tells what they were.

A value that was cut off is known to be no less than it is. Divided by the light it is so still, and where the light is
strong that is far below what the same colour shows where nothing was cut off.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.light import CUT_OFF, joined_parts, leading_colours
from planner.picture.charts.sampling import Floats

# Colours this near, in levels of 255, are the same where nothing was cut off.
_REACH = 7.0
# Parts of so many cells tell what their colour is.
_TELLS = 3


def lifted(cells: Floats, light: Floats, known: NDArray[np.bool_]) -> Floats:
    """Rows × columns × 3 cells divided by the light over them, those values that were cut off lifted to what the cells
    joined to them show, or else the commonest colour that it may be."""
    shape = cells.shape
    even, cut = (cells / light[:, :, None]).reshape(-1, 3), (cells >= CUT_OFF).reshape(-1, 3) & known.reshape(-1, 1)
    if not cut.any():
        return np.asarray(even.reshape(shape))
    _, labels = np.unique(joined_parts(cells, known), return_inverse=True)
    labels = labels.ravel()
    for k in range(3):
        off = cut[:, k]
        told = np.bincount(labels, ~off)
        shown = np.bincount(labels, even[:, k] * ~off) / np.maximum(told, 1)
        least = np.where(told >= _TELLS, shown, 0.0)
        np.maximum.at(least, labels[off], even[off, k])
        even[off, k] = least[labels[off]]
    leading = leading_colours(even[known.ravel()], _REACH)
    which = np.flatnonzero(cut.any(axis=1))
    short = np.where(cut[which, None], np.maximum(even[which, None] - leading, 0), np.abs(even[which, None] - leading))
    may = short.max(axis=2) <= _REACH
    # The most worn come first.
    first = leading[may.argmax(axis=1)]
    lift = cut[which] & may.any(axis=1)[:, None]
    even[which] = np.where(lift, np.maximum(even[which], first), even[which])
    return np.asarray(even.reshape(shape))
