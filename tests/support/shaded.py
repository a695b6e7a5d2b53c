"""A picture of soft shapes in many colours, as a grid's PNG."""

from __future__ import annotations

import io

import numpy as np
from PIL import Image


def shaded(side: int, colours: int, noise: float = 0.1) -> bytes:
    """A picture of soft shapes in so many colours, grained like a photograph."""
    rng = np.random.default_rng(11)
    down, across = np.mgrid[0:side, 0:side] / side
    field = np.sin(6 * across + 3 * down**2) + np.cos(5 * down - 4 * across**2) + noise * rng.normal(size=(side, side))
    which = np.digitize(field, np.quantile(field, np.linspace(0, 1, colours + 1)[1:-1]))
    t = np.linspace(0, 1, colours)
    inks = np.stack([40 + 200 * t, 30 + 190 * t**2, 20 + 130 * np.abs(np.sin(5 * t))], axis=1).astype(np.uint8)
    filled = np.where((across - 0.5) ** 2 + (down - 0.5) ** 2 < 0.23, 255, 0).astype(np.uint8)
    buffer = io.BytesIO()
    Image.fromarray(np.dstack([inks[which], filled]), "RGBA").save(buffer, "PNG")
    return buffer.getvalue()
