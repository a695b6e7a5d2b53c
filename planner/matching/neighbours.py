"""Which colours stand beside which in a picture, and along how many cell sides."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.errors import PlannerError

Indices = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Neighbours:
    """A picture as far as its woods are concerned, for n colours.

    ``counts`` (n) cells of each colour; ``pairs`` (p × 2, the smaller index first) colours that meet and
    ``sides`` (p) along how many cell sides; ``alike`` (n) sides between two cells of the colour itself;
    ``outline`` (n) sides where the colour meets the background or the edge of the grid.
    """

    counts: Indices
    pairs: Indices
    sides: Indices
    alike: Indices
    outline: Indices


def neighbours_of(cells: NDArray[np.int64], colours: int) -> Neighbours:
    """Count ``cells`` (rows × columns of colour indices, -1 for background), of so many ``colours``.

    Raises PlannerError when a cell names a colour that is not there.

    >>> found = neighbours_of(np.array([[0, 0, 1], [-1, 0, 1]]), 2)
    >>> found.counts.tolist(), found.pairs.tolist(), found.sides.tolist(), found.alike.tolist(), found.outline.tolist()
    ([3, 2], [[0, 1]], [2], [2, 1], [6, 4])
    """
    grid = np.asarray(cells, dtype=np.int64)
    if grid.ndim != 2 or not grid.size:
        raise PlannerError("The picture has no cells.", mend="Choose a picture with a grid in it.")
    if int(grid.max()) >= colours or int(grid.min()) < -1:
        raise PlannerError("A cell of the picture wears a colour that is not listed.", mend="Read the picture again.")
    # Background and what lies beyond the grid are one more colour, the last.
    ringed = np.pad(np.where(grid < 0, colours, grid), 1, constant_values=colours)
    first = np.concatenate([ringed[:, :-1].ravel(), ringed[:-1].ravel()])
    second = np.concatenate([ringed[:, 1:].ravel(), ringed[1:].ravel()])
    low, high = np.minimum(first, second), np.maximum(first, second)
    table = np.bincount(low * (colours + 1) + high, minlength=(colours + 1) ** 2).reshape(colours + 1, colours + 1)
    met = np.triu(table[:colours, :colours], k=1)
    pairs = np.argwhere(met)
    return Neighbours(
        counts=np.bincount(grid[grid >= 0], minlength=colours).astype(np.int64),
        pairs=pairs,
        sides=met[pairs[:, 0], pairs[:, 1]],
        alike=np.diagonal(table)[:colours].copy(),
        outline=table[:colours, colours].copy(),
    )
