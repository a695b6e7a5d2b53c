"""The grid in a picture: one pixel a cell, or every cell a whole number of pixels enlarged without loss.

A cell is background when it is transparent, or when it wears the colour of the picture's edge and is joined to
the edge by cells that do; the same colour enclosed by the picture stays wood. A picture whose edge wears no
colour over more than half of its length has no flat background. So the hole of a ring keeps the paper's colour,
for it may as well be a white eye or a lit window, and a maker who wants it plain gives that colour no wood.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.decode import PictureError, decode, too_much_memory
from planner.picture.lattice import Lattice
from planner.picture.scale import Cells, find_cells

OPAQUE = 128


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
class Proposal:
    """One grid a picture may hold: its cells, where they lie, and the kind of picture it would be, one of

    "native" (one pixel a cell), "scaled" (enlarged without loss), "resampled" (enlarged with blurred edges, or
    lossy), "turned" (not upright), "chart" (cells between ruled lines), "photographed" (such a chart seen askew).
    """

    grid: PictureGrid
    lattice: Lattice
    kind: str


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


def read_picture(data: bytes) -> Reading:
    """Read the grid of a picture file. Raises PictureError saying what is wrong and what to bring instead."""
    try:
        return _read(data)
    except MemoryError as error:
        raise too_much_memory() from error


def _read(data: bytes) -> Reading:
    decoded = decode(data)
    pixels = np.array(decoded.image)
    height, width = pixels.shape[:2]
    pixels[pixels[..., 3] < OPAQUE] = 0
    found = find_cells(pixels)
    _check_size(found, width, height)
    cells = pixels[np.ix_(found.rows, found.columns)]
    opaque = cells[..., 3] >= OPAQUE
    seen = list(decoded.seen)
    if found.cut:
        seen.append("the picture's edge cuts through its outermost cells, which are taken as whole ones")
    filled, how = _set_background_aside(cells, opaque)
    if how:
        seen.append(how)
    if not decoded.lossless:
        seen.append("a lossy file: colours may have drifted a little from those it was drawn in")
    if not filled.any():
        raise PictureError("There is nothing in the picture but background.", mend="Bring one with something drawn.")
    grid = PictureGrid(np.ascontiguousarray(cells[..., :3]), filled)
    kind = "native" if found.size == 1 else "scaled"
    lattice = Lattice.upright(
        _first(found.columns, found.size),
        _first(found.rows, found.size),
        found.size,
        found.size,
        rows=grid.rows,
        columns=grid.columns,
    )
    return Reading(
        grid,
        kind,
        found.size,
        width,
        height,
        tuple(seen),
        lattice,
        others=(),
        sure=decoded.lossless and (found.size > 1 or max(width, height) <= 64),
        pitch=float(found.size),
        turn=0.0,
        lines="",
        cut=found.cut,
    )


def _first(starts: tuple[int, ...], size: int) -> int:
    """Where the first cell would start were it whole."""
    return starts[1] - size if len(starts) > 1 else starts[0]


def _check_size(found: Cells, width: int, height: int) -> None:
    rows, columns = len(found.rows), len(found.columns)
    if rows * columns == 1:
        raise PictureError(
            "The whole picture is of one colour." if found.size > 1 else "The picture is a single pixel.",
            mend="Bring one with a drawing in it.",
        )
    if max(rows, columns) > LARGEST_SIDE:
        each = "one pixel" if found.size == 1 else f"{found.size} pixels"
        raise NoGrid(
            f"Read at {each} a cell the picture is {columns} cells wide and {rows} high; "
            f"the largest side is {LARGEST_SIDE}.",
            mend="Bring small pixel art, or such art enlarged by a whole number and saved as PNG or GIF: "
            "photographs and blurred enlargements cannot be read yet.",
            width_px=width,
            height_px=height,
        )


def _set_background_aside(cells: NDArray[np.uint8], opaque: NDArray[np.bool_]) -> tuple[NDArray[np.bool_], str]:
    if not opaque.all():
        return opaque, "transparent cells set aside as background"
    colour = _edge_colour(cells)
    if colour is None:
        return opaque, ""
    same = (cells[..., :3] == colour).all(axis=2)
    background = _joined_to_edge(same)
    return ~background, "the flat colour around the drawing set aside as background"


def _edge_colour(cells: NDArray[np.uint8]) -> NDArray[np.uint8] | None:
    rgb = cells[..., :3]
    edge = np.concatenate([rgb[0], rgb[-1], rgb[1:-1, 0], rgb[1:-1, -1]])
    colours, counts = np.unique(edge, axis=0, return_counts=True)
    most = int(np.argmax(counts))
    return colours[most] if 2 * counts[most] > len(edge) else None


def _joined_to_edge(same: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The cells of ``same`` that a walk from the edge over cells of ``same``, side by side, can reach."""
    # A ring of walls around the cells spares every step the question whether it leaves the picture.
    height, width = same.shape
    stride = width + 2
    open_cells = bytearray(np.pad(same, 1).astype(np.uint8).tobytes())
    edge = [row * stride + column for row in (1, height) for column in range(1, width + 1)]
    edge += [row * stride + column for column in (1, width) for row in range(1, height + 1)]
    waiting = [place for place in edge if open_cells[place]]
    while waiting:
        place = waiting.pop()
        if open_cells[place] == 1:
            open_cells[place] = 2
            waiting += [n for n in (place - stride, place - 1, place + 1, place + stride) if open_cells[n] == 1]
    reached = np.frombuffer(open_cells, dtype=np.uint8).reshape(height + 2, stride) == 2
    return np.asarray(reached[1:-1, 1:-1], dtype=np.bool_)
