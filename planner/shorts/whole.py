"""Lengths in bulk: whole nanometres, as the book keeps them."""

from __future__ import annotations

from math import ceil

import numpy as np
from numpy.typing import NDArray

from planner.measures import Length

NM = 1_000_000
Whole = NDArray[np.int64]
Marks = NDArray[np.bool_]


def up(length: Length) -> int:
    """Whole nanometres, no fewer than the length has."""
    return ceil(length.mm * NM)
