"""From a comb found in one piece of the picture to the projective map of the whole ruling.

The map is fitted to places measured on the lines, first inside the piece, then in ever larger surroundings; each time
the map of the smaller piece says where the next lines must be looked for.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.combs import Comb
from planner.picture.charts.ridges import MOST, SIDE
from planner.picture.charts.sampling import Floats, Sampler, places

# Lines, and cells along each line, that are measured at most in one round: enough for a fit to a tenth of a pixel.
_MEASURED = 40
# How far a line may lie from its foretold place to be taken for it: less than a third of a cell, and five pixels.
_REACH_CELLS, _REACH_PIXELS = 0.3, 5.0
# A place so much of a cell off the fit says nothing of it, however the others scatter.
_OUTLIER = 0.22
# How much of a foreshortening over half the picture is usual; the fit is drawn to none as strongly as that says.
_USUAL_KEYSTONE = 0.06
# No pattern has more cells a side than 200; numbers and margins may add some that have to be looked at.
_MOST_CELLS = 230


def grow(picture: Sampler, upright: Comb, level: Comb) -> Floats | None:
    """The 3 × 3 map from pixels to cells of a ruling whose upright and level lines near one place are known."""
    to_cells = np.array(
        [
            [1 / upright.pitch, -upright.lean / upright.pitch, 0.0],
            [-level.lean / level.pitch, 1 / level.pitch, 0.0],
            [0.0, 0.0, 1.0],
        ]
    )
    to_cells[0, 2] = -(upright.first - upright.lean * upright.along) / upright.pitch
    to_cells[1, 2] = -(level.first - level.lean * level.along) / level.pitch
    x = np.array([upright.start, upright.stop, upright.stop, upright.start])
    y = np.array([level.start, level.start, level.stop, level.stop])
    u, v = places(to_cells, x, y)
    left, right, top, bottom = float(u.min()), float(u.max()), float(v.min()), float(v.max())
    grown = 0
    for _ in range(14):
        fitted = _fit(picture, to_cells, (left, right, top, bottom))
        if fitted is None:
            return None
        to_cells = fitted
        edge = _picture_in_cells(picture, to_cells)
        if edge is None:
            return None
        if grown:
            grown += 1
            if grown > 2:
                break
        more_across, more_down = max(2.0, 0.3 * (right - left)), max(2.0, 0.3 * (bottom - top))
        left, right = max(edge[0], left - more_across), min(edge[1], right + more_across)
        top, bottom = max(edge[2], top - more_down), min(edge[3], bottom + more_down)
        if right - left < 2 or bottom - top < 2:
            return None
        if not grown and (left, right, top, bottom) == edge:
            grown = 1
    return to_cells


def _picture_in_cells(picture: Sampler, to_cells: Floats) -> tuple[float, float, float, float] | None:
    x = np.array([0.0, picture.width, picture.width, 0.0])
    y = np.array([0.0, 0.0, picture.height, picture.height])
    depth = to_cells[2, 0] * x + to_cells[2, 1] * y + to_cells[2, 2]
    if depth.min() < 0.3 or depth.max() > 3:
        return None
    u, v = places(to_cells, x, y)
    return float(u.min()), float(u.max()), float(v.min()), float(v.max())


def _some(first: int, stop: int) -> NDArray[np.float64]:
    count = stop - first
    if count <= _MEASURED:
        return np.arange(first, stop, dtype=np.float64)
    return np.unique(np.rint(np.linspace(first, stop - 1, _MEASURED)))


def _fit(picture: Sampler, to_cells: Floats, region: tuple[float, float, float, float]) -> Floats | None:
    left, right, top, bottom = region
    if right - left > 3 * _MOST_CELLS or bottom - top > 3 * _MOST_CELLS:
        return None
    to_pixels = np.linalg.inv(to_cells)
    found = []
    for axis, (low, high, start, stop) in enumerate(((left, right, top, bottom), (top, bottom, left, right))):
        lines = _some(int(np.ceil(low)), int(np.floor(high)) + 1)
        cells = _some(int(np.floor(start)), int(np.ceil(stop)))
        if len(lines) < 2 or not len(cells):
            return None
        found.append(_measure(picture, to_pixels, axis, lines, cells))
    return _solve(found, picture)


def _measure(
    picture: Sampler, to_pixels: Floats, axis: int, lines: Floats, cells: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """x, y, the number of the line and the weight of each place where a line was met."""
    centre, middle = lines[len(lines) // 2], cells[len(cells) // 2]
    ends = np.array([centre, centre + 1]), np.array([middle, middle])
    x, y = places(to_pixels, *(ends if axis == 0 else ends[::-1]))
    pitch = max(2.0, float(np.hypot(x[1] - x[0], y[1] - y[0])))
    reach = int(np.clip(_REACH_CELLS * pitch, 2, _REACH_PIXELS))
    # The sides are looked for no further off than the middle of the cell.
    side = min(SIDE if pitch < 16 else SIDE + 1, max(1, int(pitch / 2)))
    offsets = np.arange(-reach - side, reach + side + 1, dtype=np.float64)
    across = lines[:, None, None, None] + offsets / pitch
    along = cells[:, None, None] + np.array([0.25, 0.5, 0.75])[:, None]
    u, v = (across, along) if axis == 0 else (along, across)
    x, y = places(to_pixels, u, v)
    # lines × cells × offsets × channels
    seen = picture.at(x, y).sum(axis=2, dtype=np.float32) / 3
    low = np.minimum(seen[:, :, : -2 * side], seen[:, :, 2 * side :])
    high = np.maximum(seen[:, :, : -2 * side], seen[:, :, 2 * side :])
    mid = seen[:, :, side:-side]
    ridge = np.clip(np.maximum(low - mid, mid - high), 0, MOST).sum(axis=3)
    count = ridge.shape[2]
    # Of two lines equally strong the one nearer the foretold place.
    near = 1 - 0.15 * np.abs(np.linspace(-1, 1, count))
    best = np.argmax(ridge * near, axis=2)
    around = np.clip(best[..., None] + np.array([-1, 0, 1]), 0, count - 1)
    heights = np.take_along_axis(ridge, around, axis=2)
    weight = heights.max(axis=2)
    shift = (heights * (around - reach)).sum(axis=2) / (heights.sum(axis=2) + 1e-6)
    number = np.broadcast_to(lines[:, None], weight.shape)
    across, along = number + shift / pitch, np.broadcast_to(cells[None, :] + 0.5, weight.shape)
    u, v = (across, along) if axis == 0 else (along, across)
    # Pixels are fetched by the place inside them; the middle of the pixel fetched is where the line was seen.
    x, y = places(to_pixels, u, v)
    # Less than two grey levels a channel is noise.
    weight = np.maximum(weight - 6, 0)
    inside = (x > 0) & (x < picture.width) & (y > 0) & (y < picture.height)
    keep = inside & (weight > 0)
    return x[keep], y[keep], number[keep], weight[keep]


def _solve(found: list[tuple[Floats, Floats, Floats, Floats]], picture: Sampler) -> Floats | None:
    """The map that takes the measured places to their lines, with those that do not fit left out."""
    half = max(picture.width, picture.height) / 2
    cx, cy = picture.width / 2, picture.height / 2
    rows, wants, weights = [], [], []
    for axis, (x, y, number, weight) in enumerate(found):
        if len(x) < 4:
            return None
        x, y = (x - cx) / half, (y - cy) / half
        row = np.zeros((len(x), 8))
        row[:, 3 * axis], row[:, 3 * axis + 1], row[:, 3 * axis + 2] = x, y, 1
        row[:, 6], row[:, 7] = -number * x, -number * y
        rows.append(row)
        wants.append(number)
        weights.append(weight / weight.mean())
    design, want, weight = np.concatenate(rows), np.concatenate(wants), np.concatenate(weights)
    usual = 0.1 / _USUAL_KEYSTONE
    prior = np.zeros((2, 8))
    prior[0, 6] = prior[1, 7] = usual
    robust = np.ones(len(want))
    answer: Floats = np.zeros(8)
    for round_ in range(5):
        together = np.sqrt(weight * robust)
        design_w = design * together[:, None]
        normal = design_w.T @ design_w + prior.T @ prior
        try:
            answer = np.linalg.solve(normal + 1e-9 * np.eye(8), design_w.T @ (want * together))
        except np.linalg.LinAlgError:
            return None
        off = np.abs(design @ answer - want)
        spread = float(np.quantile(off, 0.6))
        limit = min(_OUTLIER, max(0.04, 3.0 * spread)) if round_ else max(_OUTLIER, 3.0 * spread)
        robust = np.square(np.maximum(0, 1 - np.square(off / limit)))
        if robust.sum() < 12:
            return None
    matrix = np.array([answer[0:3], answer[3:6], [answer[6], answer[7], 1.0]])
    normalise = np.array([[1 / half, 0, -cx / half], [0, 1 / half, -cy / half], [0, 0, 1.0]])
    whole = matrix @ normalise
    if abs(whole[2, 2]) < 1e-6 or abs(np.linalg.det(whole)) < 1e-12:
        return None
    return np.asarray(whole / whole[2, 2])
