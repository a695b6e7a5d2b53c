"""A board's four corners: taken off with its edge, mitred where the edge is a plane, the shadow following them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.frame import Frame
from planner.drawing.preview.light import GAMMA, Edge, Shadow, edge_light

Bytes = NDArray[np.uint8]
Floats = NDArray[np.float32]

# Corners are taken off on a radius of so many millimetres at least.
RADIUS = 2.0


@dataclass(frozen=True, slots=True)
class Corner:
    """A square of the picture with its upper left pixel at ``top``, ``left``: how much of each pixel the board covers
    there, and what is left of the light on the paper beside it."""

    top: int
    left: int
    cover: Floats
    light: Floats


def corners_of(frame: Frame, edge: Edge, shadow: Shadow) -> list[Corner]:
    """The four corners of a board in its picture."""
    radius = max(RADIUS, edge.size) * frame.scale
    side = min(math.ceil(radius), frame.across // 2, frame.down // 2)
    # Into the board from its upper left corner, and how far each pixel lies outside the arc.
    away = np.maximum(radius - (np.arange(side, dtype=np.float32) + 0.5), 0)
    outside = np.hypot(away[:, None], away[None, :]) - radius
    cover = np.clip(0.5 - outside, 0, 1).astype(np.float32)
    found = []
    for down, across in ((0, 0), (0, 1), (1, 0), (1, 1)):
        turned = slice(None, None, -1 if down else 1), slice(None, None, -1 if across else 1)
        top = frame.top + down * (frame.down - side)
        left = frame.left + across * (frame.across - side)
        light = shadow.light(top, top + side, left, left + side)
        if not (down or across):
            light = np.maximum(light, _towards_the_lamp(frame, shadow, outside))
        found.append(Corner(top, left, cover[turned], light))
    return found


def _towards_the_lamp(frame: Frame, shadow: Shadow, outside: Floats) -> Floats:
    """At the upper left the shadow's own square corner would stand out from under a round one: there it is as dark as
    it is so far outside the straight edges that meet, half of each."""
    beyond = np.rint(np.clip(outside, 0, frame.left - 1)).astype(int)
    row, column = frame.top + frame.down // 2, frame.left + frame.across // 2
    light = np.ones(outside.shape, dtype=np.float32)
    for depth, along, down in shadow.layers:
        light *= (
            1 - depth * (along[frame.left - 1 - beyond] * down[row] + along[column] * down[frame.top - 1 - beyond]) / 2
        )
    return light


def mitre(canvas: Bytes, frame: Frame, edge: Edge) -> None:
    """Where two chamfers meet, take out beforehand the light of the one that a pixel does not lie on: the front's light
    is a product, and would shade the corner with both."""
    side = min(math.ceil(edge.size * frame.scale), frame.across // 2, frame.down // 2)
    if not edge.flat or side < 1:
        return
    along, down = edge_light(frame, edge)
    for rows, columns in _squares(side):
        here = canvas[rows, columns]
        x, y = along[columns], down[rows]
        inward_x = np.arange(side)[:: 1 if columns.start == 0 else -1]
        inward_y = np.arange(side)[:: 1 if rows.start == 0 else -1]
        other = np.where(inward_x[None, :] < inward_y[:, None], y[:, None], x[None, :])
        # Never so light that a channel would be cut off, and with it the hue.
        factor = np.minimum(1 / other**GAMMA, 255 / np.maximum(here.max(axis=2), 1))
        here[...] = here * factor[..., None]


def _squares(side: int) -> Iterator[tuple[slice, slice]]:
    for rows in (slice(0, side), slice(-side, None)):
        for columns in (slice(0, side), slice(-side, None)):
            yield rows, columns
