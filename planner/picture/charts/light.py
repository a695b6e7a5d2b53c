"""Uneven light over a chart, and how to take it out: one colour shall read as one colour all over the page.

Cells side by side of nearly one colour are taken to be of one colour; how they drift over the page is the light. That
is paper for the most part, where paper is seen, but any large part of one colour serves. The light is a smooth factor
on the picture's values, the same for red, green and blue: that is what a lamp or a window to one side makes of a page.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.channels import largest
from planner.picture.charts.sampling import Floats

Mask = NDArray[np.bool_]

# Neighbours of one colour differ by no more than this in any channel, of 255, by light and noise.
_STEP = 7.0
# Parts of fewer cells tell nothing of the light.
_LEAST_PART = 6
# Where fewer than this share of the cells lie in such parts, as in a patchwork of single cells, cells of nearly one
# colour are joined to those next but one and crosswise too.
_IN_PARTS, _BESIDE = 0.3, ((0, 1), (1, 0))
_NEXT_BUT_ONE = (*_BESIDE, (0, 2), (2, 0), (1, 1), (1, -1), (1, 2), (1, -2), (2, 1), (2, -1), (2, 2), (2, -2))
# What a cell may miss the light by, in levels of 255, before it is trusted less and less.
_TRUSTED = 1.5
# Values from here on may have been cut off by the camera, and are known to be no less.
CUT_OFF = 251.0
# Light that changes by less than this over the page is none, and one that explains less than this share of how the
# cells drift is something else, such as a drawing's own shading.
_LEAST_CHANGE, _LEAST_EXPLAINED = 0.02, 0.12
# Where such a part of the cells is cut off in the darker quarter of the light, as a page is that is white on all sides,
# it must explain so much; and there it is no darker than so many times what it is at its lightest, for no page is
# exposed so much too long.
_STILL_WHITE, _DARKER, _EXPLAINED_BESIDE_WHITE, _TOO_LONG = 0.1, 0.25, 0.5, 0.75
# Cells that drift by more than so many levels in the mean, light taken out, differ by the drawing's own shading. Of 120
# lit, lossy and photographed pictures of cells of one colour none was left with more than 1.9.
OWN_SHADING = 2.3
# Nor is it light that nowhere changes what is told by more than so many levels: dark cells drift by large parts.
_LEAST_LEVELS = 3.0
# Cells that drift by less than this many levels of 255 within their parts lie in even light.
_LEAST_DRIFT = 0.5
# Cells whose colours come within this of a colour's mean, once light is taken out, are of that colour: levels of 255.
_ALIKE = 9.0


def light_over(cells: Floats, known: Mask | None = None) -> Floats | None:
    """The light over rows × columns × 3 cells as a factor rows × columns, 1 in the mean; None where it is even. Only
    the ``known`` cells are looked at."""
    cells = np.asarray(cells, dtype=np.float64)
    rows, columns = cells.shape[:2]
    if rows * columns < 4 * _LEAST_PART:
        return None
    known = np.ones((rows, columns), dtype=np.bool_) if known is None else known
    y, x = np.mgrid[-1 : 1 : rows * 1j, -1 : 1 : columns * 1j]
    basis = np.stack([x, y, x * x, x * y, y * y], axis=-1).reshape(-1, 5)
    flat, seen = cells.reshape(-1, 3), known.ravel()
    labels = _telling_parts(cells, known)
    drift = _drift(flat, labels, seen)
    light = _fit(flat, labels, basis, seen) if drift >= _LEAST_DRIFT else None
    if light is None:
        return None
    for _ in range(2):
        again = _fit(flat, _alike(flat / np.exp(light)[:, None], seen), basis, seen)
        if again is None:
            break
        light = again
    even = flat / np.exp(light)[:, None]
    darker = seen & (light <= np.quantile(light[seen], _DARKER))
    white = (flat[darker] >= CUT_OFF).all(axis=1).mean() >= _STILL_WHITE
    if white and light[darker].mean() - light[seen].max() < np.log(_TOO_LONG):
        return None
    explained = _EXPLAINED_BESIDE_WHITE if white else _LEAST_EXPLAINED
    if np.ptp(light) < _LEAST_CHANGE or _drift(even, labels, seen) > (1 - explained) * drift:
        return None
    # What the camera cut off drifts the more once light is taken out.
    if _drift(even, labels, seen & (flat < CUT_OFF).all(axis=1)) > OWN_SHADING:
        return None
    if np.ptp(light[seen]) * np.quantile(flat[seen & (flat < CUT_OFF).any(axis=1)], 0.9) < _LEAST_LEVELS:
        return None
    factor = np.exp(light).reshape(rows, columns)
    return np.asarray(factor / factor.mean())


def _telling_parts(cells: Floats, known: Mask) -> NDArray[np.intp]:
    """The parts of one colour that tell of light and noise: of cells side by side where these are large enough."""
    parts = joined_parts(cells, known)
    if share_in_parts(parts, known) >= _IN_PARTS:
        return parts
    return joined_parts(cells, known, _NEXT_BUT_ONE)


def share_in_parts(parts: NDArray[np.intp], known: Mask) -> float:
    """The share of the ``known`` cells that lie in parts large enough to tell of light and noise."""
    sizes = np.bincount(parts, known.ravel())
    return float((sizes[parts] >= _LEAST_PART)[known.ravel()].mean()) if known.any() else 0.0


def joined_parts(
    cells: Floats, known: Mask | None = None, steps: tuple[tuple[int, int], ...] = _BESIDE
) -> NDArray[np.intp]:
    """A number for every cell, the same for ``known`` cells joined, over the ``steps`` down and across, by small steps
    of colour."""
    rows, columns = cells.shape[:2]
    joints = []
    for down, across in steps:
        one = np.s_[: max(rows - down, 0), max(-across, 0) : max(columns - max(across, 0), 0)]
        other = np.s_[down:, max(across, 0) : max(columns + min(across, 0), 0)]
        joined = largest(np.abs(cells[one] - cells[other])) <= _STEP
        if known is not None:
            joined &= known[one] & known[other]
        joints.append((joined, one, other))
    labels = np.arange(rows * columns).reshape(rows, columns)
    while True:
        old = labels
        labels = labels.copy()
        for joined, one, other in joints:
            least = np.minimum(labels[one], labels[other])
            labels[one] = np.where(joined, least, labels[one])
            labels[other] = np.where(joined, np.minimum(labels[other], least), labels[other])
        # Every cell follows its number to that cell's number, which halves the way for long parts.
        labels = labels.ravel()[labels]
        if (labels == old).all():
            return np.asarray(labels.ravel(), dtype=np.intp)


def _alike(flat: Floats, seen: Mask) -> NDArray[np.intp]:
    """A number for every cell, the same for cells of nearly one colour wherever they are."""
    means = leading_colours(flat[seen], _ALIKE)
    return np.asarray(np.abs(flat[:, None] - means[None]).sum(axis=2).argmin(axis=1), dtype=np.intp)


def leading_colours(flat: Floats, apart: float, most: int = 64) -> Floats:
    """The colours most cells wear, no two nearer than ``apart`` in all channels, most worn first."""
    step = max(apart, 4.0)
    keys = np.floor(flat / step).astype(np.int64) @ np.array([1_000_000, 1000, 1])
    _, inverse, counts = np.unique(keys, return_inverse=True, return_counts=True)
    inverse = inverse.ravel()
    sums = np.stack([np.bincount(inverse, flat[:, k]) for k in range(3)], axis=1) / counts[:, None]
    chosen: list[Floats] = []
    for which in np.argsort(-counts, kind="stable"):
        colour = sums[which]
        if all(np.abs(colour - other).max() > apart for other in chosen):
            chosen.append(colour)
            if len(chosen) == most:
                break
    means = np.array(chosen)
    # Twice to the middle of those that are nearest.
    for _ in range(2):
        nearest = np.abs(flat[:, None] - means[None]).sum(axis=2).argmin(axis=1)
        worn = np.bincount(nearest, minlength=len(means))
        for k in range(3):
            sums_k = np.bincount(nearest, flat[:, k], minlength=len(means))
            means[:, k] = np.where(worn > 0, sums_k / np.maximum(worn, 1), means[:, k])
    return means


def _within(values: Floats, labels: NDArray[np.intp], weight: Floats | NDArray[np.bool_]) -> Floats:
    """Values less the weighted mean of their part."""
    total = np.bincount(labels, weight)
    sums = np.bincount(labels, weight * values)
    return np.asarray(values - (sums / np.maximum(total, 1e-9))[labels])


def _fit(flat: Floats, labels: NDArray[np.intp], basis: Floats, seen: Mask) -> Floats | None:
    """The logarithm of the light, fitted to how the cells of each part drift apart."""
    _, labels = np.unique(labels, return_inverse=True)
    labels = labels.ravel()
    sizes = np.bincount(labels, seen)
    large = (seen & (sizes[labels] >= _LEAST_PART))[:, None]
    usable = large & (flat < CUT_OFF) & (flat > 12)
    if usable.sum() < 4 * _LEAST_PART:
        return None
    cut_off = large & (flat >= CUT_OFF)
    for k in range(3):
        cut_off[:, k] &= (np.bincount(labels, usable[:, k]) >= _LEAST_PART / 2)[labels]
    logs = np.log(np.maximum(flat, 1.0))
    # A level of noise weighs less on a bright value; small parts wobble more by their own mean.
    weight = usable * np.square(flat)
    answer = np.zeros(basis.shape[1])
    for _ in range(8):
        normal, right = np.eye(basis.shape[1]) * 1e-6 * weight.sum(), np.zeros(basis.shape[1])
        residuals = []
        for k in range(3):
            centred = np.stack([_within(basis[:, j], labels, weight[:, k]) for j in range(basis.shape[1])], axis=1)
            drift = _within(logs[:, k], labels, weight[:, k])
            normal += centred.T @ (centred * weight[:, k : k + 1])
            right += centred.T @ (drift * weight[:, k])
            residuals.append((centred, drift))
        answer = np.linalg.solve(normal, right)
        for k, (centred, drift) in enumerate(residuals):
            miss = (drift - centred @ answer) * flat[:, k]
            # What was cut off only gainsays light under which it would have been darker than it is.
            counted = usable[:, k] | (cut_off[:, k] & (miss > 0))
            weight[:, k] = counted * np.square(flat[:, k]) / (1 + np.square(miss / _TRUSTED))
    return np.asarray(basis @ answer)


def drift_within_parts(cells: Floats) -> float:
    """By how many levels of 255 cells drift within parts of one colour, in the mean."""
    cells = np.asarray(cells, dtype=np.float64)
    known = np.ones(cells.shape[:2], dtype=np.bool_)
    return _drift(cells.reshape(-1, 3), _telling_parts(cells, known), known.ravel())


def drift_of_each_part(cells: Floats, light: Floats) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Of each part of one colour how many cells it has, and by how many levels of 255 they drift in the mean before the
    ``light``, rows × columns, is taken out of them and after."""
    cells = np.asarray(cells, dtype=np.float64)
    known = np.ones(cells.shape[:2], dtype=np.bool_)
    _, labels, sizes = np.unique(_telling_parts(cells, known), return_inverse=True, return_counts=True)
    labels = labels.ravel()
    drifts = []
    for flat in (cells.reshape(-1, 3), (cells / light[:, :, None]).reshape(-1, 3)):
        away = sum(np.abs(_within(flat[:, k], labels, known.ravel().astype(np.float64))) for k in range(3))
        drifts.append(np.bincount(labels, away) / (3 * sizes))
    large = sizes >= _LEAST_PART
    return sizes[large], drifts[0][large], drifts[1][large]


def _drift(flat: Floats, labels: NDArray[np.intp], seen: Mask) -> float:
    use = (seen & (np.bincount(labels, seen, minlength=len(labels))[labels] >= _LEAST_PART))[:, None] & (flat < CUT_OFF)
    drifts = [np.abs(_within(flat[:, k], labels, use[:, k].astype(np.float64)))[use[:, k]] for k in range(3)]
    return float(np.mean(np.concatenate(drifts))) if use.any() else 0.0
