"""What a reading is made of: a grid of colours, one proposal for it, and all that was made of a picture."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.picture.decode import PictureError
from planner.picture.lattice import Lattice

# What is covered by less than this, of 255, is clear.
OPAQUE = 128
# Between the cells of these kinds of picture there are lines that belong to no cell.
RULED = frozenset({"chart", "photographed"})


@dataclass(frozen=True, slots=True)
class PictureGrid:
    """``rgb`` rows × columns × 3, uint8; ``filled`` rows × columns, bool: False where a cell is background."""

    rgb: NDArray[np.uint8]
    filled: NDArray[np.bool_]

    @property
    def rows(self) -> int:
        return int(self.filled.shape[0])

    @property
    def columns(self) -> int:
        return int(self.filled.shape[1])

    def colours(self) -> list[tuple[tuple[int, int, int], int]]:
        """The colours of the filled cells and how many wear each, most worn first."""
        worn, counts = np.unique(self.rgb[self.filled], axis=0, return_counts=True)
        order = np.argsort(-counts, kind="stable")
        return [((int(worn[i][0]), int(worn[i][1]), int(worn[i][2])), int(counts[i])) for i in order]


@dataclass(frozen=True, slots=True)
class Sides:
    """So many rows or columns more on each side of a grid; fewer where negative."""

    top: int = 0
    right: int = 0
    bottom: int = 0
    left: int = 0

    @property
    def grow(self) -> bool:
        return max(self.top, self.right, self.bottom, self.left) > 0


@dataclass(frozen=True, slots=True)
class Proposal:
    """One grid a picture may hold: its cells, where they lie, and the kind of picture it would be, one of

    "native" (one pixel a cell), "scaled" (enlarged without loss), "resampled" (enlarged with blurred edges, or
    lossy), "turned" (not upright), "chart" (cells between ruled lines), "photographed" (such a chart seen askew).
    ``differs`` says of a runner-up in what it is not as the best, where that can be said, and ``sides`` by how many
    rows or columns more or fewer on each side, where it has the same cells but for those.
    """

    grid: PictureGrid
    lattice: Lattice
    kind: str
    differs: str = ""
    sides: Sides | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read: the grid, its ``kind`` (as in ``Proposal``), how many whole pixels a cell measured, the
    picture's size in pixels, remarks in words, and whether the picture's edge cuts through its outermost cells;
    where the cells lie, the next best ``others``, best first, whether the reading is ``sure``, the ``pitch`` in
    pixels a cell, the ``turn`` in degrees clockwise, and the ruled ``lines`` in words, "" where there are none."""

    grid: PictureGrid
    kind: str
    scale: int
    width_px: int
    height_px: int
    seen: tuple[str, ...]
    lattice: Lattice
    others: tuple[Proposal, ...]
    sure: bool
    pitch: float
    turn: float
    lines: str
    cut: bool = False


class NoGrid(PictureError):
    """There is a picture, ``width_px`` by ``height_px``, but no grid of few enough cells is to be found in it."""

    def __init__(self, what: str, *, mend: str, width_px: int, height_px: int) -> None:
        super().__init__(what, mend=mend)
        self.width_px = width_px
        self.height_px = height_px
