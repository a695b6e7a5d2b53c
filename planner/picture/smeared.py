"""Whether a picture of few colours wears each of them in several shades, as only a smooth filter leaves it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.light import leading_colours

# Shades of one colour lie within so many levels of 255. Smeared are so many shades or more, so many to a colour in the
# mean: of 260 pictures as they were drawn only skies that run from band to band have as many.
_SHADES_APART, _LEAST_SHADES, _TO_A_COLOUR = 10.0, 4, 2


def is_smeared(pixels: NDArray[np.uint8]) -> bool:
    """Of an RGBA picture of a few colours, height × width × 4; what is clear does not count."""
    opaque = pixels[pixels[..., 3] > 0][:, :3]
    shades, times = np.unique(opaque, axis=0, return_counts=True)
    if len(shades) < _LEAST_SHADES:
        return False
    colours = leading_colours(np.repeat(shades, times, axis=0).astype(np.float64), _SHADES_APART)
    return len(shades) >= _TO_A_COLOUR * len(colours)
