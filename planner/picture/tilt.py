"""How far a picture is turned from upright.

The edges of cells of an upright picture, summed along its rows and columns, stand in sharp rows of peaks; those of a
turned one are smeared. Summed in strips first, and the strips shifted against each other, they show at which slant the
peaks are sharpest.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from planner.picture.channels import summed
from planner.picture.redraw import Floats, Picture

# Turned further than this nobody calls a picture slightly turned; 2 degrees are to be read, the rest is room.
MOST_DEGREES = 6.0
# Less than this shifts no edge of the working copy by as much as its softness.
LEAST_DEGREES = 0.08
_STRIPS = 16
# Looked for coarsely at half the size, where edges are soft over twice as many degrees, then closer.
_COARSE, _CLOSER, _FINE = 0.2, 0.1, 0.02
# What is still to be turned of a copy that was turned back is looked for in so many degrees, in such steps.
_STILL, _STEP = 0.6, 0.01
# So many pixels at either end, and such a part of all, are not looked at.
_LEAST_RIM, _RIM = 2, 0.01


def degrees_turned(values: Picture) -> float:
    """Degrees a picture (height × width × channels) is turned clockwise; 0 where it is upright or shows no edges.

    >>> from PIL import Image
    >>> cells = np.random.default_rng(1).integers(0, 256, (12, 12, 3), dtype=np.uint8).repeat(25, 0).repeat(25, 1)
    >>> turned = Image.fromarray(cells).rotate(-1.2, Image.Resampling.BICUBIC)
    >>> abs(degrees_turned(np.asarray(turned).astype(np.float32)) - 1.2) < 0.05
    True
    """
    across = _strips(summed(np.abs(np.diff(values, axis=1))))
    down = _strips(summed(np.abs(np.diff(values, axis=0))).T)
    sharpest = 0.0
    halves = _halved(across), _halved(down)
    for step, reach, ways in (
        (_COARSE, MOST_DEGREES, halves),
        (_CLOSER, 1.5 * _COARSE, (across, down)),
        (_FINE, 1.5 * _CLOSER, (across, down)),
    ):
        tried = np.arange(sharpest - reach, sharpest + reach + step / 2, step)
        slants = np.tan(np.radians(tried))
        sharp = _sharpness(ways[0], -slants) + _sharpness(ways[1], slants)
        sharpest = float(tried[int(sharp.argmax())])
    return sharpest if LEAST_DEGREES <= abs(sharpest) < MOST_DEGREES else 0.0


def still_turned(values: Picture, rows: float, columns: float) -> float:
    """Degrees a copy that was turned back is still turned clockwise, told by a grid with cells of ``rows`` by
    ``columns`` pixels: the phase of its edges, strip by strip, runs along a slant."""
    across = _strips(summed(np.abs(np.diff(values, axis=1))))
    down = _strips(summed(np.abs(np.diff(values, axis=0))).T)
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


def _halved(strips: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    sums, middles = strips
    whole = sums[:, : sums.shape[1] // 2 * 2]
    return whole[:, ::2] + whole[:, 1::2], middles / 2


def _sharpness(strips: tuple[Floats, Floats], slants: Floats) -> Floats:
    """How sharp the peaks are at each slant, in pixels across to a pixel down, as a share of the mean."""
    sums, middles = strips
    # What fills the corners of a turned picture is cut off by its edge, and shows upright slivers there. Past the edge
    # there is nothing, so that no line goes on there or is lost when shifted.
    rim = max(_LEAST_RIM, int(_RIM * sums.shape[1]))
    room = int(np.abs(slants).max() * np.abs(middles).max()) + 1
    sums = np.pad(sums[:, rim:-rim], ((0, 0), (room, room)))
    length = sums.shape[1]
    places = np.arange(length)
    steps = np.diff(sums, axis=1)
    out = np.zeros(len(slants))
    for i, slant in enumerate(slants):
        shifted = np.zeros(length)
        for line, rise, away in zip(sums, steps, middles, strict=True):
            # All places of a strip are shifted alike, so that none has to be looked for as ``np.interp`` does.
            whole = int(np.floor(slant * away))
            first, last = max(-whole, 0), length - max(whole + 1, 0)
            part = (places[first:last] + slant * away) - (places[first:last] + whole)
            if part.max() < 1:
                shifted[first:last] += rise[first + whole : last + whole] * part + line[first + whole : last + whole]
            else:
                # A shift by next to nothing is lost in the larger places.
                shifted += np.interp(places + slant * away, places, line)
        out[i] = (shifted**2).sum()
    return np.asarray(out / max(float(out.mean()), 1e-9))
