"""How far a picture is turned from upright, and the picture turned back.

The edges of cells of an upright picture, summed along its rows and columns, stand in sharp rows of peaks; those of a
turned one are smeared. Summed in strips first, and the strips shifted against each other, they show at which slant the
peaks are sharpest.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.picture.redraw import Floats, Picture

# Turned further than this nobody calls a picture slightly turned; 2 degrees are to be read, the rest is room.
MOST_DEGREES = 3.0
# Less than this shifts no edge of the working copy by as much as its softness.
LEAST_DEGREES = 0.08
_STRIPS = 16
_COARSE, _FINE = 0.1, 0.02
# What is still to be turned of a copy that was turned back is looked for in so many degrees, in such steps.
_STILL, _STEP = 0.6, 0.01
# Colours of one fill differ by so many levels of 255 in a JPEG; so many pixels on both sides of its border are mixed.
# It takes so many pixels to see one, and so large a part of them alike, and of those within at most such a part.
_MIXED = 2
_ALIKE, _BORDER, _LEAST_OUTSIDE, _NEARLY_ALL, _NOT_MOST = 24, 1.5, 20, 0.97, 0.5


@dataclass(frozen=True, slots=True)
class Place:
    """Where an upright copy's pixels lie on a picture: x = ``a`` u + ``b`` v + ``c``, y = ``d`` u + ``e`` v + ``f`` for
    places u across and v down, counted from the outer edge of the first pixel."""

    a: float
    b: float
    c: float
    d: float
    e: float
    f: float
    width: int
    height: int

    def of(self, u: float, v: float) -> tuple[float, float]:
        return self.a * u + self.b * v + self.c, self.d * u + self.e * v + self.f

    def enlarged(self, ratio: float) -> Place:
        """The same on a picture so many times as large."""
        a, b, c, d, e, f = (ratio * value for value in (self.a, self.b, self.c, self.d, self.e, self.f))
        return Place(a, b, c, d, e, f, self.width, self.height)


def degrees_turned(values: Picture) -> float:
    """Degrees a picture (height × width × channels) is turned clockwise; 0 where it is upright or shows no edges.

    >>> cells = np.random.default_rng(1).integers(0, 256, (12, 12, 3), dtype=np.uint8).repeat(25, 0).repeat(25, 1)
    >>> turned = Image.fromarray(cells).rotate(-1.2, Image.Resampling.BICUBIC)
    >>> abs(degrees_turned(np.asarray(turned).astype(np.float32)) - 1.2) < 0.05
    True
    """
    across = _strips(np.abs(np.diff(values, axis=1)).sum(axis=2))
    down = _strips(np.abs(np.diff(values, axis=0)).sum(axis=2).T)
    sharpest = 0.0
    for step, reach in ((_COARSE, MOST_DEGREES), (_FINE, 1.5 * _COARSE)):
        tried = np.arange(sharpest - reach, sharpest + reach + step / 2, step)
        slants = np.tan(np.radians(tried))
        sharp = _sharpness(across, -slants) + _sharpness(down, slants)
        sharpest = float(tried[int(sharp.argmax())])
    return sharpest if LEAST_DEGREES <= abs(sharpest) < MOST_DEGREES else 0.0


def still_turned(values: Picture, rows: float, columns: float) -> float:
    """Degrees a copy that was turned back is still turned clockwise, told by a grid with cells of ``rows`` by
    ``columns`` pixels: the phase of its edges, strip by strip, runs along a slant."""
    across = _strips(np.abs(np.diff(values, axis=1)).sum(axis=2))
    down = _strips(np.abs(np.diff(values, axis=0)).sum(axis=2).T)
    tried = np.arange(-_STILL, _STILL + _STEP / 2, _STEP)
    slants = np.tan(np.radians(tried))
    agreeing = _agreeing(across, -slants, columns) + _agreeing(down, slants, rows)
    return float(tried[int(agreeing.argmax())])


def _agreeing(strips: tuple[Floats, Floats], slants: Floats, pitch: float) -> Floats:
    """How far the strips' phases agree once shifted along each slant: 1 where they do altogether."""
    sums, middles = strips
    heard = sums @ np.exp(2j * np.pi * np.arange(sums.shape[1]) / pitch)
    shifted = np.exp(-2j * np.pi * slants[:, None] * middles / pitch) @ heard
    return np.asarray(np.abs(shifted) ** 2 / max(float(np.abs(heard).sum()) ** 2, 1e-9))


def _strips(edges: NDArray[np.float32]) -> tuple[Floats, Floats]:
    """The edges summed in strips of rows, a little softened, and how far each strip lies from the middle."""
    ends = np.unique(np.linspace(0, len(edges), _STRIPS + 1).astype(int))
    sums = np.array([edges[a:b].sum(axis=0) for a, b in pairwise(ends)], dtype=np.float64)
    middles = (ends[:-1] + ends[1:]) / 2 - len(edges) / 2
    soft = np.pad(sums, ((0, 0), (1, 1)), mode="edge")
    return (soft[:, :-2] + 2 * soft[:, 1:-1] + soft[:, 2:]) / 4, middles


def _sharpness(strips: tuple[Floats, Floats], slants: Floats) -> Floats:
    """How sharp the peaks are at each slant, in pixels across to a pixel down, as a share of the mean."""
    sums, middles = strips
    length = sums.shape[1]
    places = np.arange(length)
    out = np.zeros(len(slants))
    for i, slant in enumerate(slants):
        shifted = np.zeros(length)
        for line, away in zip(sums, middles, strict=True):
            shifted += np.interp(places + slant * away, places, line)
        out[i] = (shifted**2).sum()
    return np.asarray(out / max(float(out.mean()), 1e-9))


def sizes_before(width: int, height: int, degrees: float) -> tuple[tuple[float, float], tuple[float, float]]:
    """The two sizes that a picture of so many pixels may have had before it was turned: turned by a program, it keeps
    its size and loses its corners, or is given the room that they need."""
    c, s = np.cos(np.radians(abs(degrees))), np.sin(np.radians(abs(degrees)))
    room = (width * c - height * s) / (c * c - s * s), (height * c - width * s) / (c * c - s * s)
    return (float(width), float(height)), (float(room[0]), float(room[1]))


def ends_at(picture: Picture, degrees: float, size: tuple[float, float]) -> bool:
    """Whether what was turned by ``degrees`` is seen to end at a ``size``, in pixels of the picture (height × width
    × 3): all outside of it is of one colour, and most of what lies along its border within is not."""
    height, width, _ = picture.shape
    angle = np.radians(degrees)
    x, y = np.arange(width) + 0.5 - width / 2, (np.arange(height) + 0.5 - height / 2)[:, None]
    across, down = np.abs(x * np.cos(angle) + y * np.sin(angle)), np.abs(y * np.cos(angle) - x * np.sin(angle))
    past = np.maximum(across - size[0] / 2, down - size[1] / 2)
    outside, within = picture[past > _BORDER], picture[(past < -_BORDER) & (past > -2 * _BORDER)]
    if len(outside) < _LEAST_OUTSIDE or not len(within):
        return False
    fill = np.median(outside, axis=0)
    alike, along = (np.abs(part - fill).max(axis=1) <= _ALIKE for part in (outside, within))
    return bool(alike.mean() >= _NEARLY_ALL and along.mean() < _NOT_MOST)


def turned_back(image: Image.Image, degrees: float, size: tuple[float, float], scale: float) -> tuple[Picture, Place]:
    """The middle of an RGB picture, of a ``size`` in its pixels, turned back by ``degrees`` and scaled by ``scale``."""
    width, height = size
    angle = np.radians(degrees)
    new = max(1, round(width * scale)), max(1, round(height * scale))
    across, down = width / new[0], height / new[1]
    a, b = np.cos(angle) * across, -np.sin(angle) * down
    d, e = np.sin(angle) * across, np.cos(angle) * down
    c, f = image.width / 2 - (a * new[0] + b * new[1]) / 2, image.height / 2 - (d * new[0] + e * new[1]) / 2
    place = Place(float(a), float(b), float(c), float(d), float(e), float(f), *new)
    # Past its edge the picture goes on as it ends.
    rim = int(np.ceil(np.sin(abs(angle)) * max(image.size))) + 2
    pixels = np.pad(np.asarray(image), ((rim, rim), (rim, rim), (0, 0)), mode="edge")
    shifted = (a, b, c + rim, d, e, f + rim)
    turned = np.asarray(
        Image.fromarray(pixels).transform(new, Image.Transform.AFFINE, shifted, Image.Resampling.BICUBIC)
    )
    # The outermost pixels are mixed with what fills the corners.
    inner = turned[_MIXED:-_MIXED, _MIXED:-_MIXED] if min(new) > 4 * _MIXED else turned
    ends = [((new[1 - k] - inner.shape[k]) // 2,) * 2 for k in (0, 1)]
    return np.pad(inner, (*ends, (0, 0)), mode="edge").astype(np.float32), place
