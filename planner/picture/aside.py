"""Which way of setting the background aside suits a grid, and in what words it is said."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.background import exact_background, smooth_background

Mask = NDArray[np.bool_]


def set_aside(rgb: NDArray[np.uint8], opaque: Mask | None, *, exact: bool) -> tuple[Mask, tuple[str, ...]]:
    """Which cells are filled, and what was done in words.

    ``opaque`` is None where no cell is clear; ``exact`` says that the colours are those of the file to the last bit, so
    that a ground is of one colour or none.
    """
    if opaque is not None:
        return opaque, ("transparent cells set aside as background",)
    background = exact_background(rgb)
    if not exact:
        smooth = smooth_background(rgb)
        background = background if smooth is None else smooth
    if background is None:
        return np.ones(rgb.shape[:2], dtype=np.bool_), ()
    return ~background, ("the flat colour around the drawing set aside as background",)
