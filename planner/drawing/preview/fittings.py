"""What is worked into a board's front or screwed onto it: a juice groove, handles.

A record says that they are there and how large. What they look like beyond that is assumed: a groove has a round floor
and turns its corners on a radius of its own width, a handle is a plain dark bar over its two screws. The words of a
dedication are not in a record, so it is not drawn.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.build import DETAILS
from planner.drawing.preview.finish import Rgb, to_linear
from planner.drawing.preview.frame import Frame
from planner.drawing.preview.light import GAMMA, LAMP, ROOM
from planner.drawing.preview.scene import Scene

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]

# A handle's bar in millimetres: how wide, and how far it reaches beyond its screws; its colour, and its shadow.
BAR, BEYOND = 11.0, 9.0
IRON: Rgb = (74, 66, 60)
UNDER_BAR, SHADOW_DEPTH = 3.5, 0.45
ROWS = 64


def add_fittings(canvas: Bytes, scene: Scene, frame: Frame) -> None:
    """Draw them into the board's front, as ``compose.front`` gives it."""
    if "groove" in scene.details:
        _groove(canvas, frame)
    if "handles" in scene.details:
        for ends in _bars(scene):
            _bar(canvas, frame, ends)


def _groove(canvas: Bytes, frame: Frame) -> None:
    kind = DETAILS["groove"]
    size, depth, inset = (float(value.mm) for value in (kind.size, kind.depth, kind.inset))
    half = size / 2
    width, height = frame.across / frame.scale, frame.down / frame.scale
    # Half the sides of the rectangle that the middle of the groove follows, less the radius of its corners.
    a, b = width / 2 - inset - half - size, height / 2 - inset - half - size
    x = (np.arange(frame.across, dtype=np.float32) + 0.5) / frame.scale - width / 2
    for top in range(0, frame.down, ROWS):
        rows = slice(top, min(top + ROWS, frame.down))
        y = (np.arange(rows.start, rows.stop, dtype=np.float32)[:, None] + 0.5) / frame.scale - height / 2
        out_x, out_y = np.abs(x)[None, :] - a, np.abs(y) - b
        reach = np.hypot(np.maximum(out_x, 0), np.maximum(out_y, 0)) + np.minimum(np.maximum(out_x, out_y), 0)
        from_middle = reach - size
        inside = np.abs(from_middle) < half
        if not inside.any():
            continue
        away = from_middle[inside] / half
        # Outward along the board, at the corner's angle where it turns.
        corner = (out_x > 0) & (out_y > 0)
        way_x = np.where(corner, out_x / np.maximum(reach, 1e-6), out_x >= out_y) * np.sign(x)[None, :]
        way_y = np.where(corner, out_y / np.maximum(reach, 1e-6), out_x < out_y) * np.sign(y)
        steep = 2 * depth / half * away
        factor = _lit(-steep * way_x[inside], -steep * way_y[inside])
        factor *= 1 - 0.22 * (1 - away**2)
        part = canvas[rows]
        part[inside] = np.clip(part[inside] * (factor**GAMMA)[:, None], 0, 255)


def _lit(right: NDArray[np.floating], down: NDArray[np.floating]) -> Floats:
    """Light of a matt face whose normal leans so far right and down for one towards the eye, the front's being 1."""
    length = np.sqrt(right * right + down * down + 1)
    direct = np.maximum((1 + right * LAMP[0] + down * LAMP[1]) / length, 0)
    return np.asarray((1 - ROOM) * direct + ROOM * (1 + 1 / length) / 2, dtype=np.float32)


def _bars(scene: Scene) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    """The two screws of each handle, on the board as it hangs."""
    detail: Mapping[str, Any] = scene.details["handles"]
    spots = [(float(Fraction(x)), float(Fraction(y))) for x, y in detail.get("screws", ())]
    if scene.upright:
        spots = [(y, scene.height - x) for x, y in spots]
    return list(zip(spots[::2], spots[1::2], strict=False))


def _bar(canvas: Bytes, frame: Frame, ends: tuple[tuple[float, float], tuple[float, float]]) -> None:
    (x1, y1), (x2, y2) = ends
    room = BAR + BEYOND + UNDER_BAR * 3
    left, right = (round(v * frame.scale) for v in (min(x1, x2) - room, max(x1, x2) + room))
    top, bottom = (round(v * frame.scale) for v in (min(y1, y2) - room, max(y1, y2) + room))
    left, top, right, bottom = max(0, left), max(0, top), min(frame.across, right), min(frame.down, bottom)
    x = (np.arange(left, right, dtype=np.float32)[None, :] + 0.5) / frame.scale
    y = (np.arange(top, bottom, dtype=np.float32)[:, None] + 0.5) / frame.scale
    long = float(np.hypot(x2 - x1, y2 - y1))
    u, v = (x2 - x1) / long, (y2 - y1) / long
    radius = BAR / 2

    def beside(dx: float, dy: float) -> tuple[NDArray[np.floating], NDArray[np.floating], NDArray[np.floating]]:
        """How far each pixel lies from the bar's outline, and from its middle line, right and down."""
        along = np.clip((x - x1 - dx) * u + (y - y1 - dy) * v, radius - BEYOND, long + BEYOND - radius)
        right_of, below = x - x1 - dx - along * u, y - y1 - dy - along * v
        return np.hypot(right_of, below) - radius, right_of / radius, below / radius

    part = canvas[top:bottom, left:right].astype(np.float32)
    cast, _, _ = beside(UNDER_BAR * 0.68, UNDER_BAR)
    part *= (1 - SHADOW_DEPTH / (1 + np.exp(np.clip(cast / 0.9, -30, 30))))[..., None]
    outline, lean_x, lean_y = beside(0, 0)
    cover = np.clip(0.5 - outline * frame.scale, 0, 1)[..., None]
    steep = np.sqrt(np.maximum(1 - lean_x**2 - lean_y**2, 0.04))
    lit = _lit(lean_x / steep, lean_y / steep)
    iron = 255 * (to_linear(IRON).astype(np.float32) * lit[..., None]) ** GAMMA
    canvas[top:bottom, left:right] = np.clip(part * (1 - cover) + iron * cover, 0, 255)
