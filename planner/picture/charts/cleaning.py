"""Cells of one colour brought to one colour, as far as blur, noise and lossy files let them drift apart."""

from __future__ import annotations

import numpy as np

from planner.picture.charts.light import drift_within_parts, leading_colours
from planner.picture.charts.sampling import Floats

# Colours are merged within this many levels of 255 and so many times the noise, and never further than the last.
_APART, _TIMES, _FARTHEST = 3.0, 2.0, 9.0
# Below this noise the cells are as they were drawn and stay so.
_QUIET = 0.35


def cleaned(cells: Floats) -> Floats:
    """Rows × columns × 3 cells with drifting colours brought together."""
    noise = drift_within_parts(cells)
    if noise < _QUIET:
        return cells
    flat = cells.reshape(-1, 3)
    reach = min(_FARTHEST, _APART + _TIMES * noise)
    means = leading_colours(flat, reach)
    off = np.abs(flat[:, None] - means[None]).max(axis=2)
    nearest = off.argmin(axis=1)
    near = off[np.arange(len(flat)), nearest] <= reach
    return np.asarray(np.where(near[:, None], means[nearest], flat).reshape(cells.shape))
