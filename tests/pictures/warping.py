"""Where cells come to lie when a picture is scaled, moved, turned or seen askew, and the turning itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from PIL import Image

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]
Floats = NDArray[np.float64]


def upright(left: float, top: float, right: float, bottom: float) -> Corners:
    """Corners clockwise from the top left."""
    return (left, top), (right, top), (right, bottom), (left, bottom)


def moved(corners: Corners, across: float, down: float, right: float = 0, below: float = 0) -> Corners:
    one, two, three, four = ((x * across + right, y * down + below) for x, y in corners)
    return one, two, three, four


def homography(start: ArrayLike, end: ArrayLike) -> Floats:
    """The 3 × 3 projective map that takes four points to four others."""
    rows = []
    for (x, y), (u, v) in zip(np.asarray(start, float), np.asarray(end, float), strict=True):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y, u], [0, 0, 0, x, y, 1, -v * x, -v * y, v]]
    system = np.array(rows)
    return np.append(np.linalg.solve(system[:, :8], system[:, 8]), 1).reshape(3, 3)


def mapped(matrix: Floats, points: ArrayLike) -> Floats:
    """Points, last axis x and y, through a projective map."""
    places = np.asarray(points, dtype=np.float64)
    whole = np.concatenate([places, np.ones((*places.shape[:-1], 1))], axis=-1) @ matrix.T
    return np.asarray(whole[..., :2] / whole[..., 2:])


def _corners(points: Floats) -> Corners:
    one, two, three, four = ((float(x), float(y)) for x, y in points)
    return one, two, three, four


def turned(
    pixels: NDArray[np.uint8], corners: Corners, degrees: float, fill: tuple[int, ...], bicubic: bool, grow: bool
) -> tuple[NDArray[np.uint8], Corners]:
    """Turned clockwise by ``degrees`` about the middle, what comes in at the corners ``fill``."""
    height, width = pixels.shape[:2]
    angle = np.radians(degrees)
    matrix = np.array([[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1]])
    middle = np.array([width / 2, height / 2])
    rim = mapped(matrix, np.array(upright(0, 0, width, height)) - middle)
    size = np.ceil(np.ptp(rim, axis=0)).astype(int) if grow else np.array([width, height])
    matrix[:2, 2] = size / 2 - matrix[:2, :2] @ middle
    how = Image.Resampling.BICUBIC if bicubic else Image.Resampling.BILINEAR
    return _warped(pixels, matrix, (int(size[0]), int(size[1])), fill, how), _corners(mapped(matrix, corners))


def perspective(
    pixels: NDArray[np.uint8], corners: Corners, table: tuple[int, ...], edge: float, rng: np.random.Generator
) -> tuple[NDArray[np.uint8], Corners, str]:
    """A page seen by a hand-held camera: its corners shift by up to 3 % of its size; it lies on a ``table`` of which
    ``edge`` of the page's size shows around it."""
    height, width = pixels.shape[:2]
    page = np.array(upright(0, 0, width, height), dtype=np.float64)
    shift = rng.uniform(-0.03, 0.03, (4, 2)) * (width, height)
    angle = np.radians(rng.uniform(-1.5, 1.5))
    spin = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    seen = (page - page.mean(axis=0)) @ spin.T + shift
    scale = rng.uniform(0.85, 1.1)
    seen = (seen - seen.min(axis=0)) * scale + edge * np.array([width, height])
    size = np.ceil(seen.max(axis=0) + edge * np.array([width, height])).astype(int)
    matrix = homography(page, seen)
    warped = _warped(pixels, matrix, (int(size[0]), int(size[1])), table, Image.Resampling.BICUBIC)
    how = f"seen askew, turned {np.degrees(angle):.1f}, scaled {scale:.2f}, table {table} for {edge:.0%}"
    return warped, _corners(mapped(matrix, corners)), how


def _warped(
    pixels: NDArray[np.uint8], matrix: Floats, size: tuple[int, int], fill: tuple[int, ...], how: Image.Resampling
) -> NDArray[np.uint8]:
    back = np.linalg.inv(matrix)
    back /= back[2, 2]
    # A ring of the fill, so that the rim blends into it instead of ending in steps.
    rim = 4
    ring = np.full((pixels.shape[0] + 2 * rim, pixels.shape[1] + 2 * rim, 3), fill, dtype=np.uint8)
    ring[rim:-rim, rim:-rim] = pixels[..., :3]
    shift = np.array([[1, 0, rim], [0, 1, rim], [0, 0, 1]])
    back = shift @ back
    return np.asarray(
        Image.fromarray(ring).transform(
            size, Image.Transform.PERSPECTIVE, tuple((back / back[2, 2]).ravel()[:8]), how, fillcolor=fill
        )
    )
