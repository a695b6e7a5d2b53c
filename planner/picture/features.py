"""Strokes and dots that are finer than a cell, found before a picture is reduced so that they are not lost or smeared.

A stroke narrower than a cell never has the most of any cell, and a mean of the cell would only grey it. It is found
as what opening and closing by a square of a cell and a half take away (J. Serra, "Image Analysis and Mathematical
Morphology", 1982: the top-hat of F. Meyer), thinned to its middle line (T. Y. Zhang, C. Y. Suen, "A Fast Parallel
Algorithm for Thinning Digital Patterns", Communications of the ACM 27 (1984) 236-239), and given the cells which that
line runs through: one cell wide, wherever it lies between the cells.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Mask = NDArray[np.bool_]
_Any = TypeVar("_Any", np.bool_, np.float32, np.float64)

# Common practice, no source: settled by trial on drawn scenes. In OKLab, where black to white measures 1.
_CONTRAST, _CONTRAST_MOST = 0.09, 0.2
# A share of finer detail around a cell above this is texture, in which no single stroke matters.
_TEXTURE = 0.45
# From this share of a cell on a feature fills it.
_FILLS = 0.65
# What a dot must cover, in cells, to be given one though no line runs through it.
_DOT = 0.3


@dataclass(frozen=True, slots=True)
class Features:
    """``fine`` marks the samples of strokes and dots finer than a cell; ``chosen`` the cells that show one, and
    ``shown`` the samples whose colour such a cell takes."""

    fine: Mask
    chosen: Mask
    shown: Mask


def fine_features(planes: Floats, rows: int, columns: int) -> Features:
    """The features in ``planes`` (height × width × channels; OKLab and, where there is any, transparency) of samples
    laid evenly over ``rows`` × ``columns`` cells, so that height and width are multiples of those."""
    height, width = planes.shape[:2]
    step = (height // rows, width // columns)
    fine, chosen = np.zeros((height, width), dtype=np.bool_), np.zeros((rows, columns), dtype=np.bool_)
    shown: Mask = fine.copy()
    strongest = np.zeros((rows, columns), dtype=np.float32)
    for hat in _hats(planes, step):
        mask = _strong(hat)
        if not mask.any():
            continue
        cover = _cell_means(mask, rows, columns)
        mask &= _spread(_around(cover, 2) <= _TEXTURE, step)
        if not mask.any():
            continue
        cover = _cell_means(mask, rows, columns)
        peaks = _cell_peaks(hat * mask, rows, columns)
        # Between two dark strokes the light gap stands out as well as they do; where both are in a cell, the first of
        # ``_hats`` shows.
        cells = _cells_of(mask, cover, step) & (peaks > 1.1 * strongest)
        strongest[cells] = peaks[cells]
        chosen |= cells
        # A feature that fills its cell shows all of itself, a finer one its middle, without the blurred rim.
        least = np.where(cover >= _FILLS, 0, 0.7 * peaks)
        shown = np.where(_spread(cells, step), mask & (hat >= _spread(least, step)), shown)
        fine |= mask
    return Features(fine, chosen, np.asarray(shown, dtype=np.bool_))


def _hats(planes: Floats, step: tuple[int, int]) -> list[Floats]:
    """What stands out darker, lighter, in hue, and in cover, each over a square of a cell and a half."""
    sides = (round(1.5 * step[0]), round(1.5 * step[1]))
    hats = []
    colour: Floats | None = None
    for k in range(planes.shape[2]):
        plane = planes[..., k]
        light, dark = plane - _opened(plane, sides), -_opened(-plane, sides) - plane
        if k in (1, 2):
            both = np.maximum(light, dark)
            colour = both if colour is None else np.maximum(colour, both)
        elif k == 0:
            hats += [dark, light]
        else:
            # Of what is transparent only what stands within it matters.
            hats.append(light / 4)
    if colour is not None:
        hats.append(colour)
    return hats


def _strong(hat: Floats) -> Mask:
    # In noise and texture much stands out a little; what counts must stand out from that as well.
    common = min(3 * float(np.quantile(hat[::3, ::3], 0.75)), _CONTRAST_MOST)
    return np.asarray(hat > max(_CONTRAST, common), dtype=np.bool_)


def _opened(plane: Floats, sides: tuple[int, int]) -> Floats:
    least = _sliding(_sliding(plane, sides[0], 0, np.minimum, 0), sides[1], 1, np.minimum, 0)
    return _sliding(_sliding(least, sides[0], 0, np.maximum, 1), sides[1], 1, np.maximum, 1)


def _sliding(plane: Floats, side: int, axis: int, extreme: np.ufunc, back: int) -> Floats:
    """The least or greatest of each ``side`` neighbours along an axis, from pairs of pairs; the window of the way back
    mirrors that of the way there."""
    before = (side - 1) // 2 if not back else side // 2
    pad = [(0, 0), (0, 0)]
    pad[axis] = (before, side - 1 - before)
    out = np.pad(plane, pad, mode="edge")
    out = out if axis else out.T
    span = 1
    while span < side:
        shift = min(span, side - span)
        out = extreme(out[:, :-shift], out[:, shift:])
        span += shift
    return out if axis else out.T


def _cells_of(mask: Mask, cover: Floats, step: tuple[int, int]) -> Mask:
    """The cells that the middle line of ``mask`` runs through, and the best cell of each dot that has none."""
    rows, columns = cover.shape
    line = _cell_means(thinned(mask, max(step)), rows, columns) * (step[0] * step[1])
    cells = line >= max(2, 0.35 * min(step))
    free = _around(cells.astype(np.float32), 1) == 0
    # A dot that lies across four cells covers little of each.
    dot = (9 * _around(cover, 1) >= _DOT) & (cover >= _DOT / 3) & _first_best(cover)
    return np.asarray(cells | (free & dot), dtype=np.bool_)


def thinned(mask: Mask, most: int) -> Mask:
    """The middle line of a mask, after Zhang and Suen, in no more than ``most`` rounds.

    >>> thinned(np.ones((3, 7), dtype=bool), 9).astype(int).tolist()
    [[0, 0, 0, 0, 0, 0, 0], [0, 1, 1, 1, 1, 0, 0], [0, 0, 0, 0, 0, 0, 0]]
    """
    area = np.pad(mask, 1).astype(np.uint8)
    stride, flat = area.shape[1], area.ravel()
    # Strokes are few among the samples, so that only theirs are looked at, each by the eight around it, clockwise.
    places = np.flatnonzero(flat)
    ring = (-stride, 1 - stride, 1, 1 + stride, stride, stride - 1, -1, -1 - stride)
    for _ in range(most):
        before = len(places)
        for goes in _GOES:
            around = np.zeros(len(places), dtype=np.uint8)
            for bit, step in enumerate(ring):
                around |= flat[places + step] << bit
            going = goes[around]
            flat[places[going]] = 0
            places = places[~going]
        if len(places) == before:
            break
    return area[1:-1, 1:-1].astype(np.bool_)


def _table(first: bool) -> Mask:
    """Whether a sample goes in the first or second half of a round, by which of the eight around it are set."""
    bits = (np.arange(256)[:, None] >> np.arange(8)) & 1
    n, e, s, w = (bits[:, k].astype(bool) for k in (0, 2, 4, 6))
    turns = ((bits == 0) & (np.roll(bits, -1, axis=1) == 1)).sum(axis=1)
    rim = ~(n & e & s) & ~(e & s & w) if first else ~(n & e & w) & ~(n & s & w)
    return np.asarray((bits.sum(axis=1) >= 2) & (bits.sum(axis=1) <= 6) & (turns == 1) & rim)


_GOES = (_table(True), _table(False))


def _first_best(cover: Floats) -> Mask:
    """Cells that no neighbour outdoes; of equal ones the first, from the top left."""
    padded = np.pad(cover, 1, constant_values=-1)
    rows, columns = cover.shape
    best = np.ones(cover.shape, dtype=np.bool_)
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            other = padded[1 + dy : 1 + dy + rows, 1 + dx : 1 + dx + columns]
            if (dy, dx) < (0, 0):
                best &= cover > other
            elif (dy, dx) > (0, 0):
                best &= cover >= other
    return best


def _around(cells: Floats, reach: int) -> Floats:
    """The mean of each cell and its neighbours up to ``reach`` away."""
    side = 2 * reach + 1
    sums = np.pad(cells, reach, mode="edge").cumsum(axis=0).cumsum(axis=1)
    sums = np.pad(sums, ((1, 0), (1, 0)))
    total = sums[side:, side:] - sums[:-side, side:] - sums[side:, :-side] + sums[:-side, :-side]
    return np.asarray(np.rint(total * 4096) / 4096 / side**2, dtype=np.float32)


def _cell_means(samples: NDArray[np.bool_] | Floats, rows: int, columns: int) -> Floats:
    blocks = samples.reshape(rows, samples.shape[0] // rows, columns, -1)
    return np.asarray(blocks.mean(axis=(1, 3)), dtype=np.float32)


def _cell_peaks(samples: Floats, rows: int, columns: int) -> Floats:
    return np.asarray(samples.reshape(rows, samples.shape[0] // rows, columns, -1).max(axis=(1, 3)))


def _spread(cells: NDArray[_Any], step: tuple[int, int]) -> NDArray[_Any]:
    return np.asarray(cells.repeat(step[0], axis=0).repeat(step[1], axis=1))
