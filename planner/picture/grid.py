"""The grid in a picture: one pixel a cell, or every cell a whole number of pixels enlarged without loss.

A cell is background when it is transparent, or when it wears the colour of the picture's edge and is joined to
the edge by cells that do; the same colour enclosed by the picture stays wood. A picture whose edge wears no
colour over more than half of its length has no flat background.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import gcd

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.decode import Decoded, PictureError, decode

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
class Reading:
    """What was read: the grid, its ``kind`` ("native" or "scaled"), how many pixels a cell measured, the
    picture's size in pixels, and remarks in words."""

    grid: PictureGrid
    kind: str
    scale: int
    width_px: int
    height_px: int
    seen: tuple[str, ...]


def read_picture(data: bytes) -> Reading:
    """Read the grid of a picture file. Raises PictureError saying what is wrong and what to bring instead."""
    decoded = decode(data)
    pixels = np.asarray(decoded.image)
    height, width = pixels.shape[:2]
    pixels = np.where(pixels[..., 3:] < OPAQUE, 0, pixels).astype(np.uint8)
    scale = _scale(pixels)
    cells = pixels[::scale, ::scale]
    _check_size(cells, scale, decoded)
    opaque = cells[..., 3] >= OPAQUE
    seen = list(decoded.seen)
    filled, how = _set_background_aside(cells, opaque)
    if how:
        seen.append(how)
    if not decoded.lossless:
        seen.append("a lossy file: colours may have drifted a little from those it was drawn in")
    if not filled.any():
        raise PictureError("There is nothing in the picture but background.", mend="Bring one with something drawn.")
    grid = PictureGrid(np.ascontiguousarray(cells[..., :3]), filled)
    return Reading(grid, "native" if scale == 1 else "scaled", scale, width, height, tuple(seen))


def _scale(pixels: NDArray[np.uint8]) -> int:
    """The largest whole number of pixels that cells of one colour each could measure, both ways alike.

    The colour changes between neighbouring rows and columns only at multiples of the cell's size, so the size
    is the greatest common divisor of all places where it does and of the picture's sides.
    """
    codes = pixels.view(np.uint32)[..., 0]
    scale = gcd(*codes.shape)
    for axis in (0, 1):
        changed = (np.diff(codes, axis=axis) != 0).any(axis=1 - axis)
        for place in np.flatnonzero(changed).tolist():
            scale = gcd(scale, place + 1)
            if scale == 1:
                return 1
    return scale


def _check_size(cells: NDArray[np.uint8], scale: int, decoded: Decoded) -> None:
    rows, columns = cells.shape[:2]
    if rows * columns == 1:
        raise PictureError(
            "The whole picture is of one colour." if scale > 1 else "The picture is a single pixel.",
            mend="Bring one with a drawing in it.",
        )
    if max(rows, columns) > LARGEST_SIDE:
        raise PictureError(
            f"Read at one pixel a cell the picture is {columns} cells wide and {rows} high; "
            f"the largest side is {LARGEST_SIDE}.",
            mend="Bring small pixel art, or such art enlarged by a whole number and saved as PNG or GIF: "
            "photographs and blurred enlargements cannot be read yet.",
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
    reached = np.zeros_like(same)
    reached[[0, -1], :] = same[[0, -1], :]
    reached[:, [0, -1]] = same[:, [0, -1]]
    while True:
        grown = reached.copy()
        grown[1:] |= reached[:-1]
        grown[:-1] |= reached[1:]
        grown[:, 1:] |= reached[:, :-1]
        grown[:, :-1] |= reached[:, 1:]
        grown &= same
        if (grown == reached).all():
            return reached
        reached = grown
