"""The light a board is seen in: soft, from above left; its edge, its shadow on the paper, and its glue lines.

The light of the front is a product of one factor along and one across, so that it costs a row and a column and no
picture. It falls off a little from the upper left to the lower right and averages 1 over the front. Edges are cylinders
(eased or rounded) or planes (chamfered), lit as matt faces are (Lambert) by a lamp above left and by the room. The
shadow is that of a rectangle behind a soft lamp, which is a product too. Depths and strengths are chosen by eye.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.build import DETAILS
from planner.drawing.preview.frame import Frame

Floats = NDArray[np.float32]

# Light is worked with to this power where it is stored in bytes (``compose``).
GAMMA = 1 / 2.4

# How much darker the lower right is than the upper left, half of it along and half across.
FALL = 0.09
# The way to the lamp (right, down, towards the eye) and the room's share of the light.
LAMP = (-0.42, -0.62, 1.0)
ROOM = 0.45
# An edge is broken with sandpaper where nothing else is asked for, by so many millimetres.
EASED = 1.2
# Each layer of the shadow: how dark, how far away from the lamp and how soft, as parts of the margin.
SHADOWS = ((0.45, 0.05, 0.045), (0.26, 0.16, 0.14), (0.20, 0.30, 0.25))
# A glue line is drawn so wide in millimetres, with the wood pinched and soaked beside it, and swallows so much light.
GLUE_LINE, GLUE_DEPTH = 0.2, 0.5


@dataclass(frozen=True, slots=True)
class Edge:
    """What the board's edge is worked to: ``size`` mm, a plane where ``flat``, else a quarter of a cylinder."""

    size: float
    flat: bool = False


def edge_of(details: Mapping[str, Mapping[str, Any]]) -> Edge:
    """The edge that a record's details ask for."""
    for key in ("chamfer", "round"):
        if key in details:
            return Edge(float(DETAILS[key].size.mm), key == "chamfer")
    return Edge(EASED)


def front_light(frame: Frame, edge: Edge) -> tuple[Floats, Floats]:
    """The light along the front's width and down its height; each of the two averages 1 but for the edges."""
    along, down = edge_light(frame, edge)
    return _fall(frame.across) * along, _fall(frame.down) * down


def edge_light(frame: Frame, edge: Edge) -> tuple[Floats, Floats]:
    """What the edge makes of even light along the front's width and down its height; 1 between the edges."""
    return _edges(frame.across, frame.scale, edge, LAMP[0]), _edges(frame.down, frame.scale, edge, LAMP[1])


def _fall(count: int) -> Floats:
    fall = np.exp(-FALL / 2 * ((np.arange(count) + 0.5) / count - 0.5))
    return np.asarray(fall / fall.mean(), dtype=np.float32)


def _edges(count: int, scale: float, edge: Edge, lamp: float) -> Floats:
    inward = np.asarray((np.arange(count) + 0.5) / scale, dtype=np.float64)
    begin, end = (_slope(away, edge) for away in (inward, inward[::-1]))
    # Towards the lamp at its beginning, away from it at its end.
    return np.asarray(_lambert(begin, lamp) * _lambert(end, -lamp), dtype=np.float32)


def _slope(inward: NDArray[np.float64], edge: Edge) -> NDArray[np.float64]:
    """The angle of the edge's face to the front, so far inward from the board's outline."""
    if edge.flat:
        return np.where(inward < edge.size, math.pi / 4, 0.0)
    return np.arcsin(np.clip(1 - inward / edge.size, 0, 1)) * 0.92


def _lambert(angle: NDArray[np.float64], lamp: float) -> NDArray[np.float64]:
    """The light of a face tilted by ``angle`` towards a lamp so far aside (below nought: on the side it is tilted to),
    the front's being 1."""
    direct = np.maximum(np.cos(angle) - lamp * np.sin(angle), 0)
    # A tilted face sees less of the room.
    return (1 - ROOM) * direct + ROOM * (1 + np.cos(angle)) / 2


def glue_depth(scale: float) -> tuple[int, float]:
    """How many pixels wide a glue line is, and how much of their light it swallows."""
    wide = GLUE_LINE * scale
    return max(1, round(wide)), GLUE_DEPTH * min(1.0, wide)


@dataclass(frozen=True, slots=True)
class Shadow:
    """Shadows of the board on what is behind it: per layer how dark, and its share along and down the picture."""

    layers: tuple[tuple[float, Floats, Floats], ...]

    def light(self, top: int, bottom: int, left: int, right: int) -> Floats:
        """What is left of the light in a part of the picture, rows × columns."""
        left_over = np.ones((bottom - top, right - left), dtype=np.float32)
        for depth, along, down in self.layers:
            left_over *= 1 - depth * down[top:bottom, None] * along[None, left:right]
        return left_over


def shadow_of(frame: Frame) -> Shadow:
    """Close and dark under the board, wider and softer away from the lamp; as large as the margin has room for."""
    room = float(frame.left)
    layers = []
    for depth, away, soft in SHADOWS:
        away_x, away_y = away * room * 0.68, away * room
        along = soft_box(frame.width, frame.left + away_x, frame.left + frame.across + away_x, soft * room)
        down = soft_box(frame.height, frame.top + away_y, frame.top + frame.down + away_y, soft * room)
        layers.append((depth, along, down))
    return Shadow(tuple(layers))


def soft_box(count: int, begin: float, end: float, soft: float) -> Floats:
    """1 between two places and 0 beyond, blurred by a Gaussian of that deviation, over so many pixels."""
    erf = np.vectorize(math.erf, otypes=[float])
    at = np.arange(count) + 0.5
    spread = max(soft, 0.3) * math.sqrt(2)
    return np.asarray((erf((at - begin) / spread) - erf((at - end) / spread)) / 2, dtype=np.float32)
