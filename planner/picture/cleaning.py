"""The colours of cells as they were drawn: uneven light taken out, drifting colours brought together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.cleaning import cleaned
from planner.picture.charts.light import light_over
from planner.picture.redraw import Floats


def cleaned_colours(colours: Floats, opaque: NDArray[np.bool_] | None) -> tuple[NDArray[np.uint8], Floats]:
    """The colours, rows × columns × 3, as bytes, and as they were before drifting ones were brought together."""
    if opaque is None:
        light = light_over(colours)
        if light is not None:
            colours = colours / light[:, :, None]
    rgb = cleaned(colours)
    return np.clip(np.rint(rgb), 0, 255).astype(np.uint8), colours
