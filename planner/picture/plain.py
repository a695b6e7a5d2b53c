"""Whether it is plain that a drawn grid is the right one, by what each kind of picture tells.

Nothing but a margin speaks for a grid: how much better it explains the picture than its neighbours do, how little it
leaves unexplained, and how alike cells of one colour come out of it. How much of each is enough depends on what was
done to the picture, so each kind has marks of its own. All were settled on some nine hundred degraded pictures of three
sets, and tried on others.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.light import OWN_SHADING, leading_colours
from planner.picture.redraw import Floats

# How far a grid stands out: one that fills its copy, and one with a margin or turned back, which has more to choose
# from.
_OUT, _OUT_LOOSE = 0.75, 1.3
# A smooth filter that is redrawn to so small a mean square and miss was that filter on those cells: rounding to whole
# levels alone leaves a twelfth. Then it need stand out by no more than this.
_REDRAWN, _MISSED, _OUT_REDRAWN, _OUT_REDRAWN_LOOSE = 0.5, 0.5, 0.35, 0.9
# What a smooth filter drew is plain where half of all values are missed by less than so many levels, for unblurring
# enlarges whatever was misjudged.
_PLAINLY_DRAWN = 1.0
# The cells a side that the marks stand for, and the pixels a cell of one that was turned.
_MOST_CELLS, _LEAST_TURNED = 96, 5.5
# A lossy file's ripples seem to split such a part of the cells.
_RIPPLED = 0.015
# By how many levels of 255 cells of one colour side by side may differ in the mean, light taken out of them: what lies
# beyond may be two colours taken for one. A lossy file or a camera scatters them further than a filter, though no
# colour lies between; turning mixes what it does not.
_QUIET, _QUIET_LIT, _QUIET_LOSSY = 0.85, 1.7, 2.3
# So large must cells be for their scatter to be the file's, not that of what was mixed at their rims.
_LARGE = 5.0
# A drawing shaded by itself has no cells of one colour; then its pixels tell how well they are known. What a file
# without loss scatters by more was photographed.
_GRAIN, _GRAIN_LOSSY, _LARGE_SHADED = 0.6, 1.3, 8.0
# Colours nearer than so many levels may be one colour in uneven light, where over so many cells or more a slant
# explains so much of how they differ, and goes on for so many levels; in such a part of all cells it is seen.
_STEP, _JOINED, _SLANT, _EXPLAINED, _FALLS, _PART = 6.0, 14.0, 12, 0.7, 12.0, 0.3


@dataclass(frozen=True, slots=True)
class Evidence:
    """What speaks for a grid: how far it ``stands_out``, whether it ``fills`` its copy; whether the picture was
    ``turned`` back, its cells drawn by a ``smooth`` filter, its file ``lossless``, its pixels ``scattered``, its light
    found to be uneven (``lit``); the ``pitch`` in pixels, the ``most`` cells a side; the mean square ``left``
    unexplained, the ``grain`` that half of all values miss, the share of cells that seem ``split``, and the ``noise``
    within cells of one colour."""

    stands_out: float
    fills: bool
    turned: bool
    smooth: bool
    lossless: bool
    scattered: bool
    lit: bool
    pitch: float
    most: int
    left: float
    grain: float
    split: float
    noise: float

    @property
    def photographed(self) -> bool:
        """Whether a camera, or what does as one does, scattered its values."""
        return self.lit or (self.scattered and not self.smooth and self.grain >= _GRAIN)


def plainly_drawn(seen: Evidence) -> bool:
    """Whether the grid is plainly that one, and its colours are plainly known."""
    if seen.most > _MOST_CELLS or seen.split > (0.0 if seen.lossless else _RIPPLED):
        return False
    return _stands_out(seen) and _known(seen)


def _stands_out(seen: Evidence) -> bool:
    if seen.turned and seen.pitch < _LEAST_TURNED:
        return False
    loose = seen.turned or not seen.fills
    if seen.smooth and seen.left < _REDRAWN and seen.grain < _MISSED:
        return seen.stands_out >= (_OUT_REDRAWN_LOOSE if loose else _OUT_REDRAWN)
    return seen.stands_out >= (_OUT_LOOSE if loose else _OUT)


def _known(seen: Evidence) -> bool:
    if seen.smooth:
        return seen.grain < _PLAINLY_DRAWN
    if seen.noise > OWN_SHADING:
        least = _LARGE_SHADED if seen.turned else 0.0
        return not seen.lit and seen.pitch >= least and seen.grain < (_GRAIN if seen.lossless else _GRAIN_LOSSY)
    if seen.turned or seen.pitch < _LARGE:
        return seen.noise < _QUIET
    return seen.noise < (_QUIET_LIT if seen.photographed else _QUIET if seen.lossless else _QUIET_LOSSY)


def light_is_left(cells: Floats) -> bool:
    """Whether colours, rows × columns × 3, run over the picture as uneven light makes them: cells of nearly one colour
    in a row of such colours, lighter to one side and darker to the other."""
    rows, columns = cells.shape[:2]
    flat = np.asarray(cells, dtype=np.float64).reshape(-1, 3)
    means = leading_colours(flat, _STEP)
    which = np.abs(flat[:, None] - means[None]).max(axis=2).argmin(axis=1)
    parts = _joined(np.abs(means[:, None] - means[None]).max(axis=2) <= _JOINED)[which]
    y, x = np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j]
    plane = np.stack([np.ones(flat.shape[0]), x.ravel(), y.ravel()], axis=1)
    falls = 0
    for part in np.unique(parts):
        of = parts == part
        if of.sum() < _SLANT:
            continue
        values = flat[of].mean(axis=1)
        slant = plane[of] @ np.linalg.lstsq(plane[of], values, rcond=None)[0]
        if np.ptp(slant) >= _FALLS and slant.var() >= _EXPLAINED * values.var():
            falls += int(of.sum())
    return falls >= _PART * len(flat)


def _joined(near: NDArray[np.bool_]) -> NDArray[np.intp]:
    """A number for each of several things, the same for those joined by steps over things ``near`` one another."""
    numbers = np.arange(len(near))
    while True:
        again = np.where(near, numbers[None, :], len(near)).min(axis=1)
        if (again == numbers).all():
            return np.asarray(numbers, dtype=np.intp)
        numbers = again
