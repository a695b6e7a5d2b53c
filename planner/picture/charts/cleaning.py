"""Cells of one colour brought to one colour, as far as blur, noise and lossy files let them drift apart."""

from __future__ import annotations

import numpy as np

from planner.picture.channels import largest
from planner.picture.charts.light import OWN_SHADING, drift_within_parts, leading_colours
from planner.picture.charts.sampling import Floats

# Colours are merged within so many levels of 255 and so many times the noise, and never further than the last.
_APART, _TIMES, _FARTHEST = 2.0, 1.5, 7.0
# Below this noise the cells are as they were drawn and stay so.
_QUIET = 0.35
# Red, green and blue as lightness and two shares of colour: JPEG's own axes (ITU-T T.871, clause 7), with the colour
# shares drawn in, for JPEG keeps them at half the resolution and rounds them more coarsely, and eyes mind it less.
_AXES = np.array(
    [
        [0.299, 0.587, 0.114],
        [0.6 * -0.1687, 0.6 * -0.3313, 0.6 * 0.5],
        [0.8 * 0.5, 0.8 * -0.4187, 0.8 * -0.0813],
    ]
)


def cleaned(cells: Floats) -> Floats:
    """Rows × columns × 3 cells with drifting colours brought together."""
    flat = np.asarray(cells, dtype=np.float64).reshape(-1, 3)
    noise = drift_within_parts(cells)
    # Cells as uneven as by the drawing's own shading are not to be told from it.
    if noise < _QUIET or noise > OWN_SHADING:
        return cells
    seen = flat @ _AXES.T
    reach = min(_FARTHEST, _APART + _TIMES * noise)
    leading = leading_colours(seen, reach)
    off = largest(np.abs(seen[:, None] - leading[None]))
    nearest = off.argmin(axis=1)
    near = off[np.arange(len(seen)), nearest] <= reach
    worn = np.bincount(nearest, near, minlength=len(leading))
    means = np.stack(
        [np.bincount(nearest, near * flat[:, k], minlength=len(leading)) / np.maximum(worn, 1) for k in range(3)],
        axis=1,
    )
    return np.asarray(np.where(near[:, None], means[nearest], flat).reshape(cells.shape))
