"""Whether a camera's curve may have changed colours by more than a straight line on each channel tells."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.colour import ciede2000, srgb_to_lab

# Cameras and screens bend what they show by powers of the values; once a straight line is put through them, between
# these most pictures lie (common practice, no source).
_BENDS = (4 / 5, 5 / 4)
# So much a camera that set itself to the paper of a page bends them.
SET_TO_PAPER = (5 / 6, 6 / 5)
# CIEDE2000 seen at a glance, less what light and noise leave wrong besides, and the share of cells in which it may be:
# common practice, no source.
_SEEN, _FEW = 5.0 - 0.5, 0.01


def may_be_bent(rgb: NDArray[np.uint8], filled: NDArray[np.bool_], powers: tuple[float, ...] = _BENDS) -> bool:
    """Whether colours, rows × columns × 3, that a power had bent before they were read would be seen to be wrong,
    where a straight line on each channel is all that is put right.

    Few colours, or some close together, lie near a line whatever bent them; light ones and dark ones with others in
    between do not.
    """
    worn, times = np.unique(rgb[filled], axis=0, return_counts=True)
    if not len(worn):
        return False
    read = worn.astype(np.float64)
    for power in powers:
        drawn = 255 * (read / 255) ** power
        off = ciede2000(srgb_to_lab(_straightened(read, drawn, times)), srgb_to_lab(drawn))
        if times[off > _SEEN].sum() > _FEW * filled.size:
            return True
    return False


def _straightened(
    read: NDArray[np.float64], drawn: NDArray[np.float64], times: NDArray[np.intp]
) -> NDArray[np.float64]:
    """The colours read, each channel by the straight line that brings it nearest to what was drawn."""
    mean, due = (np.average(colours, axis=0, weights=times) for colours in (read, drawn))
    away = read - mean
    both = np.average(away * (drawn - due), axis=0, weights=times)
    spread = np.average(away**2, axis=0, weights=times)
    gain = np.where(spread > 0, both / np.maximum(spread, 1e-9), 1.0)
    return np.asarray(np.clip(due + gain * away, 0, 255))
