"""How a picture would be drawn from a grid of cells, and how much of it such a drawing leaves unexplained.

A picture enlarged from cells is, along each side, a sum of one shape per cell: a box where cells have hard edges, a box
with sloping sides where those were softened, a tent or a wavy bump where a smooth filter drew it in one step. With the
shapes as columns of a matrix, the cells' colours follow by least squares, unblurred, and what is left over tells how
well the grid explains the picture.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.picture.exact_cells import Axis

Floats = NDArray[np.float64]
Picture = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Shape:
    """The shape one cell is drawn in: ``name`` "soft" (a box whose sides slope over ``width`` pixels), "blurred" (a box
    smoothed by a bell of ``width`` cells), "tent" (bilinear), "cubic" (with the parameter ``width``), "rounded" (the
    cubic between that and a spline), "wave" (Lanczos of ``width`` lobes)."""

    name: str
    width: float = 0.0


# Sides that slope over so many pixels, as enlarging by nearest, box, bilinear and wider filters leaves them; then what
# smooth filters draw from one pixel a cell (R. Keys, "Cubic convolution interpolation for digital image processing",
# IEEE Trans. ASSP 29 (1981) 1153-1160: -0.5; -0.75 as browsers and OpenCV have it; D. Mitchell, A. Netravali,
# "Reconstruction filters in computer graphics", Computer Graphics 22 (1988) 221-228: B = C = 1/3, as browsers have it
# where they are asked for quality), and blurs.
HARD = (Shape("soft", 0.02), Shape("soft", 1.0), Shape("soft", 2.0), Shape("soft", 3.0))
SMOOTH = (Shape("tent"), Shape("cubic", -0.5), Shape("cubic", -0.75), Shape("rounded"), Shape("wave", 3))
# Keeps cells that hardly show on the picture from being told by nothing.
_HOLDING = 1e-6
BLURS = (Shape("blurred", 0.15), Shape("blurred", 0.25), Shape("blurred", 0.4))


def drawing(axis: Axis, side: int, shape: Shape) -> Floats:
    """The matrix, ``side`` pixels × cells, that draws the cells of an axis.

    >>> drawing(Axis(0.0, 2.0, 2), 4, Shape("tent")).tolist()
    [[1.0, 0.0], [0.75, 0.25], [0.25, 0.75], [0.0, 1.0]]
    """
    middles = (np.arange(side) + 0.5 - axis.offset) / axis.pitch
    away = np.abs(middles[:, None] - (np.arange(axis.count) + 0.5)[None, :])
    weights = _weights(away, shape, axis.pitch)
    total = weights.sum(axis=1, keepdims=True)
    # Past the outermost cells a program repeats them; so does this.
    lost = total[:, 0] < 0.3
    if lost.any():
        nearest = np.clip(np.floor(middles[lost]), 0, axis.count - 1).astype(int)
        weights[lost] = 0
        weights[lost, nearest] = 1
        total[lost] = 1
    return np.asarray(weights / total, dtype=np.float64)


def _weights(away: Floats, shape: Shape, pitch: float) -> Floats:
    if shape.name == "soft":
        slope = min(shape.width / pitch, 1.0)
        return np.clip((0.5 + slope / 2 - away) / slope, 0, 1)
    if shape.name == "tent":
        return np.clip(1 - away, 0, None)
    if shape.name == "cubic":
        a = shape.width
        near = (a + 2) * away**3 - (a + 3) * away**2 + 1
        far = a * away**3 - 5 * a * away**2 + 8 * a * away - 4 * a
        return np.where(away < 1, near, np.where(away < 2, far, 0.0))
    if shape.name == "rounded":
        near = (7 * away**3 - 12 * away**2) / 6 + 8 / 9
        far = -7 / 18 * away**3 + 2 * away**2 - 10 / 3 * away + 16 / 9
        return np.where(away < 1, near, np.where(away < 2, far, 0.0))
    if shape.name == "wave":
        return np.where(away < shape.width, np.sinc(away) * np.sinc(away / shape.width), 0.0)
    # A box smoothed by a bell: the difference of two sigmoids. The logistic stands in for the error function.
    steep = 1.702 / shape.width
    return np.asarray(_sigmoid(steep * (away + 0.5)) - _sigmoid(steep * (away - 0.5)))


def _sigmoid(x: Floats) -> Floats:
    return np.asarray(1 / (1 + np.exp(-np.clip(x, -40, 40))))


def solved(picture: Picture, rows: Floats, columns: Floats) -> Floats:
    """The colours of the cells, rows × columns × channels, that redraw a picture best."""
    left = np.linalg.pinv(rows).astype(np.float32)
    right = np.linalg.pinv(columns).astype(np.float32)
    return np.asarray(between(left, picture, right), dtype=np.float64)


def redrawn(cells: Floats, rows: Floats, columns: Floats) -> Picture:
    """The picture drawn from cells."""
    return between(rows.astype(np.float32), cells.astype(np.float32), columns.astype(np.float32))


def between(left: Picture, picture: Picture, right: Picture) -> Picture:
    """left × picture × right transposed, for each channel."""
    height, width, channels = picture.shape
    half = (left @ picture.reshape(height, width * channels)).reshape(len(left), width, channels)
    # One large product costs a part of what one for each row does.
    both = (right @ half.transpose(1, 0, 2).reshape(width, -1)).reshape(len(right), len(left), channels)
    return np.ascontiguousarray(both.transpose(1, 0, 2).astype(np.float32))


class Side:
    """One side of a picture, its lines taken together: how much of them grids along that side leave unexplained.

    ``lines`` is many × ``side`` pixels. Everything is reckoned from the products of each two pixels of a line, summed
    over the lines, so that a grid costs as little on a large picture as on a small one.
    """

    def __init__(self, lines: Picture) -> None:
        self.length = lines.shape[1]
        self.values = lines.size
        self.products = np.ascontiguousarray(lines.T @ lines)
        self.whole = float(np.trace(self.products, dtype=np.float64))
        # Summed from the corner, so that any block's sum is four look-ups.
        self._sums = np.zeros((self.length + 1, self.length + 1))
        self._sums[1:, 1:] = self.products.cumsum(axis=0, dtype=np.float64).cumsum(axis=1)
        self._tents: tuple[Floats, Floats] | None = None

    def left_by(self, axis: Axis, shape: Shape) -> float:
        """The mean square left over by cells of such a shape."""
        matrix = drawing(axis, self.length, shape)
        # By the normal equations, which take a third of the time of making the columns square to one another; shapes of
        # cells overlap too little for that to matter.
        along = (self.products @ matrix.astype(np.float32)).astype(np.float64)
        square = matrix.T @ matrix + _HOLDING * np.eye(matrix.shape[1])
        explained = np.linalg.solve(square, matrix.T @ along).trace()
        return max(self.whole - float(explained), 0.0) / self.values

    def left_by_boxes(self, edges: NDArray[np.int64]) -> float:
        """The same for hard boxes between whole ``edges``, 0 and the length among them: a few look-ups."""
        return float(self.left_by_each(edges))

    def left_by_each(self, edges: NDArray[np.int64]) -> Floats:
        """The same for many sets of edges at once, sets × edges; an edge may stand in a set more than once."""
        sums, one, two = self._sums, edges[..., :-1], edges[..., 1:]
        blocks = sums[two, two] - 2 * sums[one, two] + sums[one, one]
        explained = (blocks / np.maximum(two - one, 1)).sum(axis=-1)
        return np.asarray(np.maximum(self.whole - explained, 0.0) / self.values)

    def left_by_tents(self, count: int) -> float:
        """The same for ``count`` tents over the whole length, ends held level.

        The second difference of a tent is three pulses, so its sum against anything is three look-ups in that thing
        summed up twice; and tents' products with one another are diagonal in the cosines of the discrete cosine
        transform (G. Strang, "The discrete cosine transform", SIAM Review 41 (1999) 135-147, DCT-2).
        """
        if self._tents is None:
            once = _summed(self._sums)
            self._tents = _summed(np.ascontiguousarray(once.T)).T, once[:, -1].copy()
        twice, once_whole = self._tents
        pitch = self.length / count
        knots = (np.arange(count) + 0.5) * pitch
        at = np.minimum(knots.astype(np.int64), self.length - 1)
        part = knots - at
        rows = twice[at] * (1 - part)[:, None] + twice[at + 1] * part[:, None]
        both = rows[:, at] * (1 - part) + rows[:, at + 1] * part
        edge = once_whole[at] * (1 - part) + once_whole[at + 1] * part
        along = _bent(both, edge, pitch)
        edge = _bent(edge[:, None], self._sums[-1, -1], pitch)[:, 0]
        products = _bent(np.ascontiguousarray(along.T), edge, pitch)
        k = np.arange(count)
        cosines = np.cos(np.pi * (k[:, None] + 0.5) * k[None, :] / count) * np.sqrt(2 / count)
        cosines[:, 0] /= np.sqrt(2)
        norms = pitch * (2 + np.cos(np.pi * k / count)) / 3
        explained = (((products @ cosines) * cosines).sum(axis=0) / norms).sum()
        return max(self.whole - float(explained), 0.0) / self.values


def _summed(sums: Floats) -> Floats:
    """What is summed to the edges of pixels, summed once more between them."""
    out = np.zeros_like(sums)
    out[1:] = (sums[1:] + sums[:-1]) / 2
    return out.cumsum(axis=0)


def _bent(values: Floats, last: Floats | float, pitch: float) -> Floats:
    slopes = np.diff(values, axis=0) / pitch
    out = np.empty_like(values)
    out[1:-1] = slopes[1:] - slopes[:-1]
    out[0], out[-1] = slopes[0], last - slopes[-1]
    return out
