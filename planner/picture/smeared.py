"""Whether a picture was smoothed: whether its colours go over into one another through mixtures of the two."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

# Where so many of all steps of colour go on over a pixel that is a mixture, to so many levels of 255, of the two beside
# it, both ways, nothing but a filter drew that: of 440 pictures as they were drawn one, a ball shaded all around.
_MIXTURES, _MIXED = 0.15, 4.0


def is_smeared(pixels: NDArray[np.uint8]) -> bool:
    """Of a picture, height × width × channels."""
    return all(_goes_over(way) for way in (pixels, pixels.transpose(1, 0, 2)))


def _goes_over(pixels: NDArray[np.uint8]) -> bool:
    """Whether colours do so along the rows."""
    values = pixels.astype(np.float32)
    step = values[:, 1:] - values[:, :-1]
    size = np.sqrt((step**2).sum(axis=2))
    before, after = size[:, :-1], size[:, 1:]
    part = before / np.maximum(before + after, 1e-6)
    between = values[:, :-2] + part[..., None] * (values[:, 2:] - values[:, :-2])
    mixed = (before > 0) & (after > 0) & (np.abs(values[:, 1:-1] - between).max(axis=2) <= _MIXED)
    return bool(mixed.sum() >= _MIXTURES * max((size > 0).sum(), 1))
