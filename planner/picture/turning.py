"""A turned picture turned back, and where its pixels lie then."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.picture.redraw import Floats, Picture

# Colours of one fill differ by so many levels of 255 in a JPEG; so many pixels on both sides of its border are mixed.
# It takes so many pixels to see one, and so large a part of them alike.
_ALIKE, _BORDER, _LEAST_OUTSIDE, _NEARLY_ALL = 24, 1.5, 20, 0.97
# The room a turned picture needs is rounded up to whole pixels as a whole, or at both of its ends: by half a pixel or
# by one in the mean.
_ROUNDED_UP = 0.75
# So many pixels at the edge of what was turned are mixed with the fill.
MIXED = 2


@dataclass(frozen=True, slots=True)
class Place:
    """Where an upright copy's pixels lie on a picture: x = ``a`` u + ``b`` v + ``c``, y = ``d`` u + ``e`` v + ``f`` for
    places u across and v down, counted from the outer edge of the first pixel; and the picture's size."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float
    width: float
    height: float

    def of(self, u: float, v: float) -> tuple[float, float]:
        return self.a * u + self.b * v + self.c, self.d * u + self.e * v + self.f

    def off(self, u: Floats, v: Floats) -> NDArray[np.bool_]:
        """Which of many places lie off the picture, ``v`` down and ``u`` across."""
        x, y = self.a * u + self.b * v[:, None] + self.c, self.d * u + self.e * v[:, None] + self.f
        return np.asarray((x < 0) | (y < 0) | (x > self.width) | (y > self.height))

    def stretched(self, across: float, down: float) -> Place:
        """The same on a picture so many times as wide and as high."""
        a, b, c = across * self.a, across * self.b, across * self.c
        return Place(
            a, b, c, down * self.d, down * self.e, down * self.f, across * self.width, down * self.height
        )  # fmt: skip


def sizes_before(
    width: int, height: int, degrees: float, pixel: float = 1.0
) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two sizes that a picture of so many pixels may have had before it was turned: turned by a program, it keeps
    its size and loses its corners, or is given the room that they need, in whole pixels of ``pixel`` by ``pixel``."""
    c, s = np.cos(np.radians(abs(degrees))), np.sin(np.radians(abs(degrees)))
    across, down = width - _ROUNDED_UP * pixel, height - _ROUNDED_UP * pixel
    room = (across * c - down * s) / (c * c - s * s), (down * c - across * s) / (c * c - s * s)
    return (float(width), float(height)), (float(room[0]), float(room[1]))


def fill_within(picture: Picture, degrees: float, size: tuple[float, float]) -> float:
    """How much of what lies along the border of a ``size`` in pixels of the picture (height × width × 3), turned by
    ``degrees``, wears the one colour that is all there is outside of it: little where the picture was of that size
    before it was turned; 1 where outside of it is more than one colour."""
    past, fill = _past(picture, degrees, size), fill_of(picture, degrees, size)
    within = picture[(past < -_BORDER) & (past > -2 * _BORDER)]
    if fill is None or not len(within):
        return 1.0
    return float((np.abs(within - fill).max(axis=1) <= _ALIKE).mean())


def fill_of(picture: Picture, degrees: float, size: tuple[float, float]) -> Picture | None:
    """The one colour of all that lies outside of a ``size`` in pixels of the picture (height × width × 3), turned by
    ``degrees``; None where next to nothing does or more than one colour."""
    outside = picture[_past(picture, degrees, size) > _BORDER]
    if len(outside) < _LEAST_OUTSIDE:
        return None
    fill = np.asarray(np.median(outside, axis=0), dtype=np.float32)
    alike = np.abs(outside - fill).max(axis=1) <= _ALIKE
    return fill if alike.mean() >= _NEARLY_ALL else None


def _past(picture: Picture, degrees: float, size: tuple[float, float]) -> Floats:
    """How far each pixel lies past the border of such a size; less than 0 within."""
    height, width, _ = picture.shape
    angle = np.radians(degrees)
    x, y = np.arange(width) + 0.5 - width / 2, (np.arange(height) + 0.5 - height / 2)[:, None]
    across, down = np.abs(x * np.cos(angle) + y * np.sin(angle)), np.abs(y * np.cos(angle) - x * np.sin(angle))
    return np.asarray(np.maximum(across - size[0] / 2, down - size[1] / 2))


def turned_back(picture: Picture, degrees: float, size: tuple[float, float]) -> tuple[Picture, Place]:
    """The middle of a picture (height × width × 3), of a ``size`` in its pixels, turned back by ``degrees``."""
    height, width, _ = picture.shape
    angle = np.radians(degrees)
    new = max(1, round(size[0])), max(1, round(size[1]))
    across, down = size[0] / new[0], size[1] / new[1]
    a, b = float(np.cos(angle) * across), float(-np.sin(angle) * down)
    d, e = float(np.sin(angle) * across), float(np.cos(angle) * down)
    c, f = width / 2 - (a * new[0] + b * new[1]) / 2, height / 2 - (d * new[0] + e * new[1]) / 2
    place = Place(a, b, c, d, e, f, width, height)
    # Past its edge the picture goes on as it ends.
    rim = int(np.ceil(np.sin(abs(angle)) * max(width, height))) + 2
    pixels = np.pad(np.rint(picture).astype(np.uint8), ((rim, rim), (rim, rim), (0, 0)), mode="edge")
    shifted = (a, b, c + rim, d, e, f + rim)
    upright = np.asarray(
        Image.fromarray(pixels).transform(new, Image.Transform.AFFINE, shifted, Image.Resampling.BICUBIC)
    )
    # The outermost pixels are mixed with what fills the corners of the turned picture.
    inner = upright[MIXED:-MIXED, MIXED:-MIXED] if min(new) > 4 * MIXED else upright
    ends = [((new[1 - k] - inner.shape[k]) // 2,) * 2 for k in (0, 1)]
    return np.pad(inner, (*ends, (0, 0)), mode="edge").astype(np.float32), place
