"""Whether cells that were found without a thought of lines lie between the ruled lines that were found without them."""

from __future__ import annotations

import numpy as np

from planner.picture.lattice import Lattice

# Lines lie on the sides of cells, and so many of them apart, where they are off by no more than such a part of one.
_OFF = 0.25


def lies_on_cells(ruled: Lattice, cells: Lattice) -> bool:
    """Whether the corners of a ruling lie on corners of an evenly spaced lattice of ``cells``, all of them within it
    and as many cells apart as the ruling has.

    >>> cells = Lattice.upright(2, 3, 10, 10, rows=12, columns=15)
    >>> lies_on_cells(Lattice.upright(22, 33, 10, 10, rows=8, columns=11), cells)
    True
    >>> lies_on_cells(Lattice.upright(22, 33, 20, 20, rows=4, columns=5), cells)
    False
    >>> lies_on_cells(Lattice.upright(27, 33, 10, 10, rows=8, columns=11), cells)
    False
    """
    corner, right, _, below = (np.asarray(place, dtype=np.float64) for place in cells.corners)
    sides = np.stack([(right - corner) / cells.columns, (below - corner) / cells.rows], axis=1)
    if abs(np.linalg.det(sides)) < 1e-9:
        return False
    places = (np.asarray(ruled.corners, dtype=np.float64) - corner) @ np.linalg.inv(sides).T
    one = places[0].round()
    due = one + np.array([(0, 0), (ruled.columns, 0), (ruled.columns, ruled.rows), (0, ruled.rows)])
    within = (due >= 0).all() and (due <= (cells.columns, cells.rows)).all()
    return bool(within and np.abs(places - due).max() <= _OFF)
