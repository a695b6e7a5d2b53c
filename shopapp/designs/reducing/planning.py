"""The door to the planner for reduction: a stored picture, its cut and its size to a grid."""

from __future__ import annotations

from dataclasses import dataclass

from planner.pattern import LARGEST_SIDE
from planner.picture import Lattice
from planner.picture.reduction import MOST_COLOURS, Crop, reduce_picture
from shopapp.designs.grid.planning import grid_of
from shopapp.designs.pictures.planning import grid_png

__all__ = ["LARGEST_SIDE", "MOST_COLOURS", "Cut", "grid_of", "place_of_cut", "reduced", "share_that_serves"]

# The smaller copy of a large picture serves as well, and sooner, while a square spans at least so many of its pixels:
# more of them than these the reduction does not look at.
ENOUGH_PIXELS = 8


@dataclass(frozen=True)
class Cut:
    """A part of the picture in its own pixels, and the grid it is to become."""

    left: int
    top: int
    width: int
    height: int
    rows: int
    columns: int
    colours: int

    @property
    def stretch(self) -> float:
        """How much wider than high a square of the picture comes to be, 1 where the shape is kept."""
        return (self.width / self.columns) / (self.height / self.rows)


def place_of_cut(cut: Cut) -> dict[str, object]:
    return Lattice.upright(
        cut.left, cut.top, cut.width / cut.columns, cut.height / cut.rows, rows=cut.rows, columns=cut.columns
    ).as_record()


def share_that_serves(cut: Cut, width: int, shown_width: int | None) -> float:
    """How much smaller than the picture the copy is that a cut is reduced from: 1 for the picture itself."""
    share = (shown_width or width) / width
    return share if min(cut.width / cut.columns, cut.height / cut.rows) * share >= ENOUGH_PIXELS else 1.0


def reduced(png: bytes, cut: Cut, share: float) -> bytes:
    """The grid of a cut as a stored grid; ``png`` is the picture made ``share`` as large."""
    left, top = round(cut.left * share), round(cut.top * share)
    width, height = max(1, round(cut.width * share)), max(1, round(cut.height * share))
    return grid_png(reduce_picture(png, Crop(left, top, width, height), cut.rows, cut.columns, cut.colours))
