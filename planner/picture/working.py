"""The copy of a picture that grids are sought in: small enough to be quick, as numbers, with its cover."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from PIL import Image

from planner.picture.redraw import Picture
from planner.picture.turning import Place

# A pattern has at most 200 cells a side, so that they keep three pixels each; more cost time and tell little.
LONGEST = 640


@dataclass(frozen=True, slots=True)
class Working:
    """``values`` height × width × 3, or × 4 where part of the picture is clear: then the first three are weighed by the
    cover, the fourth, as any viewer's enlargement weighs them. ``across`` and ``down`` are the picture's own pixels to
    one of these; where it was turned upright, ``turned`` says where its pixels lie, ``fill`` is the colour
    that fills the corners around it, where that is seen, and ``room`` the height and width, about its middle, of what
    was given room when it was turned, if it was. The file kept one share of colour for so many of these pixels down and
    across as ``shares`` says, and its blocks in the steps of ``tables``."""

    values: Picture
    across: float
    down: float
    turned: Place | None = None
    fill: Picture | None = None
    room: tuple[float, float] | None = None
    shares: tuple[int, int] = (1, 1)
    tables: tuple[tuple[int, ...], ...] = ()

    @property
    def clear(self) -> bool:
        return bool(self.values.shape[2] == 4)

    def on_picture(self, u: float, v: float) -> tuple[float, float]:
        """Where a place on this copy lies on the picture."""
        return self.turned.of(u, v) if self.turned else (u * self.across, v * self.down)


def working_copy(
    image: Image.Image, shares: tuple[int, int] = (1, 1), tables: tuple[tuple[int, ...], ...] = ()
) -> Working:
    """Of an RGBA picture whose file kept one share of colour for so many pixels down and across, and so its blocks."""
    width, height = image.size
    scale = min(1.0, LONGEST / max(width, height))
    opaque = image.getchannel("A").getextrema()[0] == 255
    small = image.convert("RGB" if opaque else "RGBa")
    if scale < 1:
        size = max(1, round(width * scale)), max(1, round(height * scale))
        small = small.resize(size, Image.Resampling.BOX, reducing_gap=2.0)
    values = np.asarray(small).astype(np.float32)
    if scale < 1:
        shares, tables = (1, 1), ()
    return Working(values, width / small.width, height / small.height, shares=shares, tables=tables)
