"""Many colours brought to few, in OKLab, where equal steps look about equally large.

Boxes are cut where they spread most (after P. Heckbert, "Color image quantization for frame buffer display", Computer
Graphics 16 (1982) 297-307, and X. Wu's cut by variance, 1991), their means settle by Lloyd's steps (S. P. Lloyd, "Least
squares quantization in PCM", IEEE Transactions on Information Theory 28 (1982) 129-137), and a colour far from all of
them takes the place of one of the two that are nearest each other. Nothing is random: equal input, equal result.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

# Colours nearer than this are one to begin with; a step that is hardly seen.
_FINE = 0.012
# Many of one colour count for less than their number, lest a large sky take the colours from what stands before it.
_CROWD = 0.6
_ROUNDS = 8
# A colour so far from its nearest is wanted in its own right, OKLab; settled by trial.
_FAR = 0.07
# What a change of colour between neighbours must be worth, squared OKLab, lest a slope turn to speckles.
_SPECKLE = 0.0004


def few_colours(colours: Floats, most: int) -> Floats:
    """At most ``most`` colours (k × 3, OKLab) that stand best for ``colours`` (n × 3)."""
    bins, counts = _gathered(colours)
    if len(bins) <= most:
        return bins
    centres = _settled(_cut(bins, counts, most), bins, counts)
    for _ in range(most):
        centres, changed = _with_the_farthest(centres, bins, counts)
        if not changed:
            break
    return centres


def nearest(colours: Floats, centres: Floats) -> Places:
    """Which of ``centres`` is nearest each colour, squared distance in OKLab; of equal ones the first."""
    return np.asarray(_distances(colours, centres).argmin(axis=-1), dtype=np.intp)


def smoothed(colours: Floats, centres: Floats, filled: NDArray[np.bool_]) -> Places:
    """Which of ``centres`` every filled cell (rows × columns × 3) takes, -1 elsewhere: the nearest, unless one that a
    neighbour wears is nearly as near (iterated conditional modes: J. Besag, "On the statistical analysis of dirty
    pictures", Journal of the Royal Statistical Society B 48 (1986) 259-302)."""
    cost = _distances(colours, centres)
    labels = np.where(filled, cost.argmin(axis=-1), -1)
    row, column = np.indices(labels.shape)
    for parity in (0, 1, 0, 1, 0, 1):
        ring = np.pad(labels, 1, constant_values=-1)
        sides = np.stack([ring[:-2, 1:-1], ring[2:, 1:-1], ring[1:-1, :-2], ring[1:-1, 2:]])
        best, price = labels, _price(labels, labels, sides, cost)
        for other in sides:
            asked = np.where(other < 0, labels, other)
            theirs = _price(asked, labels, sides, cost)
            best, price = np.where(theirs < price, asked, best), np.minimum(theirs, price)
        labels = np.where(filled & ((row + column) % 2 == parity), best, labels)
    return np.asarray(labels, dtype=np.intp)


def _price(asked: Places, labels: Places, sides: Places, cost: Floats) -> Floats:
    unlike = ((sides != asked) & (sides >= 0)).sum(axis=0)
    own = np.take_along_axis(cost, np.maximum(asked, 0)[..., None], axis=-1)[..., 0]
    return np.asarray(own + _SPECKLE * unlike)


def _distances(colours: Floats, centres: Floats) -> Floats:
    # Written out, for the difference of large squares would lose what tells near colours apart.
    gaps = colours[..., None, :] - centres
    return np.asarray(np.einsum("...k,...k->...", gaps, gaps))


def _gathered(colours: Floats) -> tuple[Floats, Floats]:
    """Colours of one fine step together: their means, and how much each counts."""
    steps = np.floor(colours / _FINE + 0.5).astype(np.int64) + 512
    codes = (steps[:, 0] * 2048 + steps[:, 1]) * 2048 + steps[:, 2]
    _, at, counts = np.unique(codes, return_inverse=True, return_counts=True)
    sums = np.stack([np.bincount(at, colours[:, k]) for k in range(3)], axis=1)
    return sums / counts[:, None], counts.astype(np.float64) ** _CROWD


def _cut(bins: Floats, counts: Floats, most: int) -> Floats:
    boxes = [np.arange(len(bins))]
    while len(boxes) < most:
        spreads = [_spread(bins[box], counts[box]) for box in boxes]
        worst = int(np.argmax([float(spread.max()) for spread in spreads]))
        if spreads[worst].max() <= 0:
            break
        box, axis = boxes[worst], int(spreads[worst].argmax())
        values = bins[box][:, axis]
        upper = values > np.average(values, weights=counts[box])
        boxes[worst] = box[~upper]
        boxes.insert(worst + 1, box[upper])
    return np.array([np.average(bins[box], axis=0, weights=counts[box]) for box in boxes])


def _spread(colours: Floats, counts: Floats) -> Floats:
    """How far a box's colours lie from their mean, by axis."""
    mean = np.average(colours, axis=0, weights=counts)
    return np.asarray((counts[:, None] * (colours - mean) ** 2).sum(axis=0))


def _settled(centres: Floats, bins: Floats, counts: Floats) -> Floats:
    for _ in range(_ROUNDS):
        at = nearest(bins, centres)
        weights = np.bincount(at, counts, len(centres))
        sums = np.stack([np.bincount(at, counts * bins[:, k], len(centres)) for k in range(3)], axis=1)
        moved = np.where(weights[:, None] > 0, sums / np.maximum(weights, 1)[:, None], centres)
        if np.abs(moved - centres).max() < 1e-4:
            return moved
        centres = moved
    return centres


def _with_the_farthest(centres: Floats, bins: Floats, counts: Floats) -> tuple[Floats, bool]:
    """With the colour that is farthest from all ``centres`` in place of one of the two nearest each other, where that
    does more good than harm."""
    far = np.sqrt(_distances(bins, centres).min(axis=1))
    worst = int(far.argmax())
    if len(centres) < 2:
        return centres, False
    apart = np.sqrt(_distances(centres, centres)) + np.where(np.eye(len(centres), dtype=bool), np.inf, 0)
    one, other = np.unravel_index(int(apart.argmin()), apart.shape)
    if far[worst] < max(_FAR, 1.3 * float(apart[one, other])):
        return centres, False
    weights = np.bincount(nearest(bins, centres), counts, len(centres))
    changed = centres.copy()
    together = weights[[one, other]]
    changed[one] = np.average(centres[[one, other]], axis=0, weights=together if together.sum() > 0 else None)
    changed[other] = bins[worst]
    return _settled(changed, bins, counts), True
