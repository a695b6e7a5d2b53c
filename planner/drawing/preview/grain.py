"""Strips of wood as one sees them, drawn from physical parameters: rings, pores, rays, figure and tone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.drawing.preview.grain_noise import Floats, along, normal, over, words_of
from planner.drawing.preview.timber import Timber


def strips(
    timber: Timber,
    light: ArrayLike,
    seeds: Sequence[int],
    width_px: int,
    length_px: int,
    mm_per_px: float,
    surface: Literal["face", "end"] = "face",
) -> NDArray[np.float32]:
    """Linear-light sRGB of strips of a wood, shape (len(seeds), width_px, length_px, 3), grain along the length.

    ``light`` is the wood's colour, linear, the mean over many strips; a strip's own tone follows from its seed.
    """
    colour = np.asarray(light, dtype=np.float32)
    words = words_of(seeds)
    across = np.asarray((np.arange(width_px) + 0.5) * mm_per_px, dtype=np.float64)
    length = np.asarray((np.arange(length_px) + 0.5) * mm_per_px, dtype=np.float64)
    place = np.arange(4)
    own = normal(words, 1, place)
    angle = np.radians(np.clip(timber.cut[0] + timber.cut[1] * own[:, 0], -85, 85))
    radius = 110 + 30 * own[:, 1]
    x = (radius * np.sin(angle))[:, None, None] + across[None, :, None].astype(np.float32)
    d = (radius * np.cos(angle))[:, None] + 0.012 * length[None, :] + 1.5 * along(words, 2, length, 90.0)
    r = np.sqrt(x * x + (d * d)[:, None, :]) + timber.rings.wander_mm * over(words, 3, across, length, (9.0, 55.0))
    phase = (r / np.float32(timber.rings.width_mm)) % 1
    tone = -timber.rings.late * (phase - 0.5) + timber.fibre * over(words, 4, across, length, (0.6, 25.0))
    tone += (timber.spread * own[:, 2])[:, None, None]
    return np.asarray(np.exp(tone)[..., None] * colour, dtype=np.float32)


__all__ = ["Floats", "strips"]
