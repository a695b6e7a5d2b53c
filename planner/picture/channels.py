"""The few channels of every cell told together, in the order numpy is quick at."""

from __future__ import annotations

from functools import reduce
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

_Kind = TypeVar("_Kind", bound=np.generic)


def largest(values: NDArray[_Kind]) -> NDArray[_Kind]:
    """``values.max(axis=-1)`` of an array whose last axis is short: numpy goes through a short one cell by cell, which
    takes ten to thirty times as long as holding whole channels against each other.

    >>> largest(np.array([[[1, 5, 2]], [[7, 0, 7]]])).tolist()
    [[5], [7]]
    """
    return _together(np.maximum, values)


def summed(values: NDArray[_Kind]) -> NDArray[_Kind]:
    """``values.sum(axis=-1)``, to the bit, of an array whose last axis is as short.

    >>> summed(np.array([[[1, 5, 2]], [[7, 0, 7]]])).tolist()
    [[8], [14]]
    """
    return _together(np.add, values)


def _together(two: np.ufunc, values: NDArray[_Kind]) -> NDArray[_Kind]:
    """Channel by channel, from the first on."""
    return reduce(two, (values[..., channel] for channel in range(values.shape[-1])))
