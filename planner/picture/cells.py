"""The colours of the cells of a grid, read from a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.picture.exact_cells import Axis
from planner.picture.redraw import Floats, Picture, Shape, between, drawing, redrawn

# Near the sides of a cell its colour is mixed with its neighbour's and, in a JPEG, with ripples: pixels closer to a
# side than so many pixels, but no further in than so large a part of the cell, count for little.
_RIM_PX, _RIM_PART, _RIM_WEIGHT, _PAST_WEIGHT = 4.0, 1 / 3, 0.05, 1e-4
# What a smooth filter draws has the cell's own colour in its middle, whatever happened further out.
_MIDDLE_PART = 0.5
# A smooth filter overshoots past black and white and is cut off there. What was cut is guessed from the cells, and the
# cells read again, so many times.
_GUESSES = 3
# A cell is split whose middle misses its colour by so many levels of 255, and by so many times what half of them do.
_SPLIT_LEVELS, _SPLIT_TIMES = 12.0, 4.0
# The median of more values than this is no better known.
_MEDIAN_OF = 200_000


@dataclass(frozen=True, slots=True)
class CellsRead:
    """The ``colours``, rows × columns × channels; the mean square that a drawing from them leaves unexplained; and the
    ``grain``, by how many levels of 255 half of all values miss it: an edge that is not quite right does not count; and
    how many cells are ``split``, of more than one colour in their middle."""

    colours: Floats
    left: float
    grain: float
    split: int = 0


def read_cells(values: Picture, rows: Axis, columns: Axis, shape: Shape, *, guess: bool = True) -> CellsRead:
    """The cells of a grid on a picture (height × width × channels); without ``guess`` as they are read at first."""
    height, width, _ = values.shape
    down, across = drawing(rows, height, shape), drawing(columns, width, shape)
    hard = shape.name == "soft"
    left, right = _inverse(down, _weights(rows, height, hard)), _inverse(across, _weights(columns, width, hard))
    cells = np.asarray(between(left, values, right), dtype=np.float64)
    drawn = redrawn(cells, down, across)
    if shape.name in ("cubic", "rounded", "wave"):
        for _ in range(_GUESSES if guess and cut_off(values) else 0):
            guessed = np.where(
                values <= 0, np.minimum(drawn, 0), np.where(values >= 255, np.maximum(drawn, 255), values)
            )
            cells = np.asarray(between(left, guessed.astype(np.float32), right), dtype=np.float64)
            drawn = redrawn(cells, down, across)
        drawn = drawn.clip(0, 255)
    missed = np.abs(values - drawn)
    squares = missed**2
    inside = np.s_[_on(rows, height), _on(columns, width)]
    missed = missed[inside]
    # Of so many values the middle one is that of a part of them.
    grain = np.median(missed.ravel()[:: max(1, missed.size // _MEDIAN_OF)])
    split = _split(squares, rows, columns) if hard else 0
    return CellsRead(cells, float(squares[inside].mean()), float(grain), split)


def cells_split(values: Picture, rows: Axis, columns: Axis, shape: Shape) -> int:
    """How many cells of a grid of hard cells are ``split``, as ``read_cells`` tells it, and no more than that."""
    height, width, _ = values.shape
    down, across = drawing(rows, height, shape), drawing(columns, width, shape)
    left, right = _inverse(down, _weights(rows, height, True)), _inverse(across, _weights(columns, width, True))
    drawn = redrawn(np.asarray(between(left, values, right), dtype=np.float64), down, across)
    return _split((values - drawn) ** 2, rows, columns)


def cut_off(values: Picture) -> bool:
    """Whether a picture reaches black or white, beyond which nothing can be told."""
    return bool(values.min() <= 0 or values.max() >= 255)


def _split(missed: Picture, rows: Axis, columns: Axis) -> int:
    """How many cells miss their drawing in their middle by far more than others do: a finer grid would cut them."""
    height, width, channels = missed.shape
    # Down first, for that leaves least to be added up.
    down = (_middles_of(rows, height).astype(np.float32) @ missed.reshape(height, width * channels)).reshape(
        rows.count, width, channels
    )
    per_cell = down.mean(axis=2) @ _middles_of(columns, width).T
    least = max(_SPLIT_LEVELS**2, _SPLIT_TIMES**2 * float(np.median(per_cell)))
    return int((per_cell > least).sum())


def _middles_of(axis: Axis, side: int) -> Floats:
    """The matrix, cells × pixels, that takes the mean over the middle half of each cell."""
    places = (np.arange(side) + 0.5 - axis.offset) / axis.pitch - 0.5
    inside = (np.abs(places[None, :] - np.arange(axis.count)[:, None]) <= _MIDDLE_PART / 2).astype(np.float64)
    return np.asarray(inside / np.maximum(inside.sum(axis=1, keepdims=True), 1))


def _weights(axis: Axis, side: int, hard: bool) -> Floats:
    middles = (np.arange(side) + 0.5 - axis.offset) / axis.pitch
    inwards = (0.5 - np.abs(middles - np.floor(middles) - 0.5)) * axis.pitch
    rim = max(min(_RIM_PX, axis.pitch * _RIM_PART) if hard else axis.pitch * _MIDDLE_PART, 1e-6)
    # What lies past the outermost cells is the page or what surrounds them, and tells nothing of them.
    return np.where(_within(axis, side), np.clip(inwards / rim, _RIM_WEIGHT, 1.0), _PAST_WEIGHT)


def _within(axis: Axis, side: int) -> NDArray[np.bool_]:
    """Which pixels of a side lie on the cells."""
    middles = (np.arange(side) + 0.5 - axis.offset) / axis.pitch
    return np.asarray((middles > 0) & (middles < axis.count))


def _on(axis: Axis, side: int) -> slice:
    """The same as a slice: they lie side by side."""
    places = np.flatnonzero(_within(axis, side))
    return slice(int(places[0]), int(places[-1]) + 1) if len(places) else slice(0, 0)


def _inverse(matrix: Floats, weights: Floats) -> Picture:
    weighed = matrix * weights[:, None]
    small = 1e-6 * np.eye(matrix.shape[1])
    return np.linalg.solve(weighed.T @ matrix + small, weighed.T).astype(np.float32)
