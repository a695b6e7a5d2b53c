"""Marks to tell woods apart without colour: strokes a maker could chalk on a board's end.

Each mark is a list of polylines in a unit square, x to the right and y down; a polyline that ends where it
began is a closed ring.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from itertools import pairwise
from math import cos, pi, sin
from types import MappingProxyType

Polyline = tuple[tuple[float, float], ...]


def _ring(radius: float, corners: int = 12) -> Polyline:
    points = [
        (0.5 + radius * sin(2 * pi * i / corners), 0.5 - radius * cos(2 * pi * i / corners)) for i in range(corners)
    ]
    return (*points, points[0])


MARKS: Mapping[str, tuple[Polyline, ...]] = MappingProxyType(
    {
        "bar": (((0.2, 0.5), (0.8, 0.5)),),
        "post": (((0.5, 0.2), (0.5, 0.8)),),
        "rise": (((0.2, 0.8), (0.8, 0.2)),),
        "fall": (((0.2, 0.2), (0.8, 0.8)),),
        "two bars": (((0.2, 0.36), (0.8, 0.36)), ((0.2, 0.64), (0.8, 0.64))),
        "two posts": (((0.36, 0.2), (0.36, 0.8)), ((0.64, 0.2), (0.64, 0.8))),
        "crossing": (((0.22, 0.22), (0.78, 0.78)), ((0.22, 0.78), (0.78, 0.22))),
        "upright cross": (((0.5, 0.18), (0.5, 0.82)), ((0.18, 0.5), (0.82, 0.5))),
        "ring": (_ring(0.28),),
        "point": (_ring(0.09, 8), _ring(0.04, 6)),
        "gable": (((0.18, 0.68), (0.5, 0.3), (0.82, 0.68)),),
        "valley": (((0.18, 0.32), (0.5, 0.7), (0.82, 0.32)),),
        "wedge": (((0.2, 0.74), (0.5, 0.22), (0.8, 0.74), (0.2, 0.74)),),
        "tick": (((0.2, 0.52), (0.42, 0.74), (0.82, 0.26)),),
        "hook": (((0.3, 0.2), (0.3, 0.74), (0.72, 0.74)),),
        "step": (((0.18, 0.72), (0.5, 0.72), (0.5, 0.3), (0.82, 0.3)),),
    }
)


def mark_path(name: str, x: float, y: float, size: float) -> str:
    """SVG path data of a mark drawn in the square of side ``size`` at (x, y)."""
    return "".join(f"M{x + left:.2f} {y + top:.2f}{rest}" for left, top, rest in _strokes(name, size))


@lru_cache(maxsize=256)
def _strokes(name: str, size: float) -> tuple[tuple[float, float, str], ...]:
    """Where each stroke begins in its square, and its path from there: a large pattern draws one mark a thousand
    times. Steps are between rounded points, so that a ring closes."""
    strokes = []
    for line in MARKS[name]:
        points = [(round(px * size, 2), round(py * size, 2)) for px, py in line]
        steps = "".join(f"l{c - a:.2f} {d - b:.2f}" for (a, b), (c, d) in pairwise(points))
        strokes.append((*points[0], steps))
    return tuple(strokes)
