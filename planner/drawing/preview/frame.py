"""Where a board lies in its picture: scale, margins, and which pixels each piece takes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.scene import Scene
from planner.errors import PlannerError

NARROWEST, WIDEST = 200, 6000
# A picture is at most so many times as high as it was asked to be wide, and a tall board narrower in it.
TALLEST = 1.5
# Paper around the board, as a part of the width: room for its shadow.
MARGIN = 0.045


@dataclass(frozen=True, slots=True)
class Frame:
    """A picture of ``width`` by ``height`` pixels with the board's front at ``left``, ``top``, ``across`` by ``down``
    pixels, ``scale`` of them a millimetre."""

    width: int
    height: int
    left: int
    top: int
    across: int
    down: int
    scale: float


def frame_of(board_width: float, board_height: float, width: int) -> Frame:
    """The frame of a board of that size in millimetres, as wide as asked, or narrower where it would be too tall.

    Raises PlannerError, field "width", outside 200 to 6,000 pixels.
    """
    if not NARROWEST <= width <= WIDEST:
        raise PlannerError(
            f"A picture {width:,} pixels wide is not drawn.",
            mend=f"Ask for {NARROWEST} to {WIDEST:,} pixels.",
            field="width",
        )
    return fitted(board_width, board_height, width)


def fitted(board_width: float, board_height: float, width: int) -> Frame:
    """The same for any width."""
    margin = max(6, round(width * MARGIN))
    most = round(width * TALLEST) - 2 * margin
    scale = min((width - 2 * margin) / board_width, most / board_height)
    across, down = max(1, round(board_width * scale)), max(1, round(board_height * scale))
    return Frame(across + 2 * margin, down + 2 * margin, margin, margin, across, down, scale)


def pixel_boxes(scene: Scene, frame: Frame) -> NDArray[np.int64]:
    """Left, top, right and bottom pixel of each piece on the board's front; pieces that meet share their edge's."""
    limits = np.array([frame.across, frame.down] * 2)
    return np.asarray(np.minimum(np.rint(scene.boxes * frame.scale).astype(np.int64), limits))
