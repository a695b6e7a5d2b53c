"""The colours of cells as they were drawn: uneven light taken out, drifting colours brought together."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.picture.background import running_background
from planner.picture.charts.cleaning import cleaned
from planner.picture.charts.clipping import lifted
from planner.picture.charts.light import drift_of_each_part, drift_within_parts, light_over
from planner.picture.redraw import Floats

# Light falls on all that is drawn: taken out, it leaves the drawing at the most this share of its drift. What leaves
# more is a ground that runs from one colour to another.
_LEFT_OF_DRIFT = 0.93
# No part of one colour drifts the more, by so many levels of 255 and such a share, for taking light out of it, save in
# so few of the cells; and nobody brings a picture that is lit so many times as strongly at one end as at the other.
# What does is the drawing's own, as a night sky that grows lighter towards the ground behind dark houses.
_MORE_LEVELS, _MORE_TIMES, _FEW, _MOST_LIGHT = 0.2, 1.15, 0.06, 3.0


def cleaned_colours(colours: Floats, opaque: NDArray[np.bool_] | None) -> tuple[NDArray[np.uint8], Floats, bool]:
    """The colours, rows × columns × 3, as bytes; as they were before drifting ones were brought together; and whether
    uneven light was taken out of them."""
    lit = False
    if opaque is None:
        light = light_over(colours)
        if light is not None and _falls_on_all(colours, light):
            # What a bright side cut off would come out darker than its like.
            even = lifted(colours, light, np.ones(light.shape, dtype=np.bool_))
            colours, lit = np.asarray(even, dtype=np.float64), True
    rgb = cleaned(colours)
    return np.clip(np.rint(rgb), 0, 255).astype(np.uint8), colours, lit


def _falls_on_all(colours: Floats, light: NDArray[np.floating[Any]]) -> bool:
    sizes, before_it, after_it = drift_of_each_part(colours, light)
    more = (after_it > before_it + _MORE_LEVELS) & (after_it > _MORE_TIMES * before_it)
    if light.max() > _MOST_LIGHT * light.min() or sizes[more].sum() > _FEW * sizes.sum():
        return False
    ground = running_background(colours)
    if ground is None:
        return True
    before, after = colours.copy(), colours / light[:, :, None]
    before[ground] = after[ground] = 255
    return drift_within_parts(after) <= _LEFT_OF_DRIFT * drift_within_parts(before)
