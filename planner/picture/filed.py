"""The colours of small cells in a JPEG, found by keeping a drawing of them as the file was kept.

A JPEG keeps blocks of eight pixels by eight in steps (ITU-T T.81, A.3), so that in cells of a few pixels the colours of
neighbours run into one another by more than the sampling of colour does. How is not to be worked out backwards, but
forwards: cells are drawn, the drawing is kept by the file's own tables, and what is read of it otherwise than of the
picture is put right in the cells, some times over.
"""

from __future__ import annotations

import io

import numpy as np
from PIL import Image

from planner.picture.cells import CellsRead, read_cells
from planner.picture.exact_cells import Axis
from planner.picture.redraw import HARD, Floats, Picture, Shape, drawing, redrawn

# Two tables of steps, for lightness and for the shares of colour, of 64 each, as they stand in a file.
Tables = tuple[tuple[int, ...], ...]
# The samplings of colour the encoder has, by for how many pixels down and across one share is kept.
_SAMPLINGS = {(1, 1): 0, (1, 2): 1, (2, 2): 2}
# The middle of a larger cell is hardly touched by what surrounds it.
LARGEST_PITCH = 12.0
# What was read otherwise is put right by so much at a time, so many times.
_EACH, _TIMES = 0.8, 6
# It is believed where the drawing, kept so, misses the picture by so much less in the mean square.
_BETTER = 0.6


def can_be_kept(shares: tuple[int, int], tables: Tables) -> bool:
    """Whether a drawing can be kept as a file with such sampling and such tables was."""
    return shares in _SAMPLINGS and len(tables) in (1, 2)


def with_own_colours(
    read: CellsRead,
    values: Picture,
    rows: Axis,
    columns: Axis,
    shape: Shape,
    shares: tuple[int, int],
    tables: Tables,
) -> Floats:
    """The colours of cells, rows × columns × 3, ``read`` of a picture (height × width × 3, its file's own pixels) whose
    file was kept so; as they were read where no drawing of them comes much nearer to it."""
    found = missed = None
    for one in HARD if shape in HARD else (shape,):
        drawn = _Drawn(values, rows, columns, one, _SAMPLINGS[shares], tables)
        colours = read.colours if one == shape else drawn.told
        left = drawn.left_by(colours)
        if one == shape:
            missed = left
        if found is None or left < found[0]:
            found = left, colours, drawn
    assert found is not None and missed is not None
    left, colours, drawn = found
    best = left, colours
    for _ in range(_TIMES):
        colours = np.clip(colours + _EACH * (drawn.told - drawn.told_of(colours)), 0, 255)
        left = drawn.left_by(colours)
        if left < best[0]:
            best = left, colours
    return best[1] if best[0] < _BETTER * missed else read.colours


class _Drawn:
    """Cells of one shape on a picture, drawn and kept as its file was; ``told`` is what is read of the picture."""

    def __init__(self, values: Picture, rows: Axis, columns: Axis, shape: Shape, sampling: int, tables: Tables) -> None:
        self._values, self._rows, self._columns, self._shape = values, rows, columns, shape
        self._sampling, self._tables = sampling, [list(table) for table in tables]
        height, width, _ = values.shape
        self._down, self._across = drawing(rows, height, shape), drawing(columns, width, shape)
        self.told = self._read(values)
        self._last: tuple[Floats, Picture] | None = None

    def _read(self, values: Picture) -> Floats:
        return read_cells(values, self._rows, self._columns, self._shape, guess=False).colours

    def _kept(self, colours: Floats) -> Picture:
        if self._last is not None and self._last[0] is colours:
            return self._last[1]
        pixels = np.rint(redrawn(colours, self._down, self._across)).clip(0, 255).astype(np.uint8)
        buffer = io.BytesIO()
        Image.fromarray(pixels).save(buffer, "JPEG", qtables=self._tables, subsampling=self._sampling)
        kept = np.asarray(Image.open(buffer)).astype(np.float32)
        self._last = colours, kept
        return kept

    def told_of(self, colours: Floats) -> Floats:
        return self._read(self._kept(colours))

    def left_by(self, colours: Floats) -> float:
        """The mean square by which the drawing, kept, misses the picture."""
        return float(((self._values - self._kept(colours)) ** 2).mean())
