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
        kept = drawn.kept(colours)
        left = drawn.left_by(kept)
        if one == shape:
            missed = left
        if found is None or left < found[0]:
            found = left, colours, drawn, kept
    assert found is not None and missed is not None
    left, colours, drawn, kept = found
    best = left, colours
    for _ in range(_TIMES):
        colours = np.clip(colours + _EACH * (drawn.told - drawn.read(kept)), 0, 255)
        kept = drawn.kept(colours)
        left = drawn.left_by(kept)
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
        self.told = self.read(values)

    def read(self, values: Picture) -> Floats:
        return read_cells(values, self._rows, self._columns, self._shape, guess=False).colours

    def kept(self, colours: Floats) -> Picture:
        """The drawing of cells of these colours as the file would hold it."""
        pixels = np.rint(redrawn(colours, self._down, self._across)).clip(0, 255).astype(np.uint8)
        buffer = io.BytesIO()
        Image.fromarray(pixels).save(buffer, "JPEG", qtables=self._tables, subsampling=self._sampling)
        return np.asarray(Image.open(buffer)).astype(np.float32)

    def left_by(self, kept: Picture) -> float:
        """The mean square by which a drawing misses the picture."""
        return float(((self._values - kept) ** 2).mean())
