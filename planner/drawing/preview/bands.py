"""A board's front brought into its light, a band of rows at a time: the edge, the rounded corners, the shadow behind.

``compose`` leaves bytes of light to the power 1 / 2.4, on which light is a plain factor. sRGB (IEC 61966-2-1) is 1.055
times that power less 0.055; its straight piece near black is left out, for no wood is so dark.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.corners import Corner, corners_of, mitre
from planner.drawing.preview.finish import Rgb, to_linear
from planner.drawing.preview.frame import Frame
from planner.drawing.preview.light import GAMMA, Shadow, edge_of, front_light, shadow_of
from planner.drawing.preview.scene import Scene

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]

# What lies behind the board: the paper of the pages.
PAPER: Rgb = (247, 242, 232)
BAND = 48


def bands(scene: Scene, frame: Frame, canvas: Bytes, ground: Rgb = PAPER) -> Iterator[Bytes]:
    """The finished picture from the top, some rows at a time: the front in its light, the edge, the shadow behind."""
    edge = edge_of(scene.details)
    along, down = front_light(frame, edge)
    along = np.repeat(np.float32(1.055) * along**GAMMA, 3)
    down = down**GAMMA
    shadow = shadow_of(frame)
    behind = _Behind(shadow, to_linear(ground).astype(np.float32))
    corners = corners_of(frame, edge, shadow)
    mitre(canvas, frame, edge)
    right, bottom = frame.left + frame.across, frame.top + frame.down
    for top in range(0, frame.height, BAND):
        end = min(top + BAND, frame.height)
        out = np.empty((end - top, frame.width, 3), dtype=np.uint8)
        first, last = max(top, frame.top), min(end, bottom)
        if first > top or last < end:
            out[...] = behind.seen(top, end, 0, frame.width)
        else:
            out[:, : frame.left] = behind.seen(top, end, 0, frame.left)
            out[:, right:] = behind.seen(top, end, right, frame.width)
        if first < last:
            rows = slice(first - frame.top, last - frame.top)
            lit = canvas[rows].reshape(last - first, -1) * along
            lit *= down[rows, None]
            lit -= np.float32(255 * 0.055 - 0.5)
            np.clip(lit, 0, 255, out=lit)
            out[first - top : last - top, frame.left : right] = lit.reshape(last - first, -1, 3)
            for corner in corners:
                _take_off(out, top, corner, behind)
        yield out


def _take_off(out: Bytes, top: int, corner: Corner, behind: _Behind) -> None:
    """Let the paper show where a corner of the board is taken off, in a band that begins at row ``top``."""
    side = len(corner.cover)
    first, last = max(top, corner.top), min(top + len(out), corner.top + side)
    if first < last:
        some = slice(first - corner.top, last - corner.top)
        here = out[first - top : last - top, corner.left : corner.left + side]
        cover = corner.cover[some, :, None]
        here[...] = here * cover + behind.paper_in(corner.light[some]) * (1 - cover) + np.float32(0.5)


@dataclass(frozen=True, slots=True)
class _Behind:
    """Paper with the board's shadow on it."""

    shadow: Shadow
    paper: Floats

    def seen(self, top: int, bottom: int, left: int, right: int) -> Bytes:
        return self.paper_in(self.shadow.light(top, bottom, left, right))

    def paper_in(self, light: Floats) -> Bytes:
        coded = (1.055 * 255) * (light[..., None] ** np.float32(GAMMA)) * self.paper ** np.float32(GAMMA)
        return np.clip(coded - np.float32(0.055 * 255 - 0.5), 0, 255).astype(np.uint8)
