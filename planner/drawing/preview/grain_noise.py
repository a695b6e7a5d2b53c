"""Noise that belongs to a place in a strip: the same strip, drawn longer or larger, is the same piece of wood.

A generator that is asked for numbers one after another would give other wood as soon as more of it is asked for, so
each number is a hash of seed, kind and place: the finishing steps of SplitMix64 (G. L. Steele, D. Lea, C. H. Flood,
"Fast splittable pseudorandom number generators", OOPSLA 2014).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Words = NDArray[np.uint64]

# Multiplications: below a quarter of a million the library behind NumPy stays on one core.
SMALL_PRODUCT = 200_000
_GOLDEN = 0x9E3779B97F4A7C15
_MASK = (1 << 64) - 1


def words_of(seeds: Sequence[int]) -> Words:
    """Whole numbers of any size and sign as 64-bit words, shape (seeds,)."""
    return np.array([int(seed) & _MASK for seed in seeds], dtype=np.uint64)


def mixed(words: Words) -> Words:
    """Each word stirred so that neighbours have nothing in common."""
    words = words ^ (words >> np.uint64(30))
    words = words * np.uint64(0xBF58476D1CE4E5B9)
    words = words ^ (words >> np.uint64(27))
    words = words * np.uint64(0x94D049BB133111EB)
    return words ^ (words >> np.uint64(31))


def hashed(words: Words, kind: int, places: NDArray[np.int64]) -> Words:
    """A word for each strip and place, shape (strips, *places.shape)."""
    own = mixed(words + np.uint64((kind * _GOLDEN) & _MASK))
    own = own.reshape(own.shape + (1,) * places.ndim)
    return mixed(own + places.astype(np.uint64) * np.uint64(_GOLDEN))


def uniform(words: Words, kind: int, places: NDArray[np.int64]) -> Floats:
    """Evenly from 0 to 1, shape (strips, *places.shape)."""
    return (hashed(words, kind, places) >> np.uint64(40)).astype(np.float32) * np.float32(2.0**-24)


def normal(words: Words, kind: int, places: NDArray[np.int64]) -> Floats:
    """About normal with mean 0 and deviation 1 (the sum of four even ones: nothing beyond 3.5), same shape."""
    word = hashed(words, kind, places)
    total = sum((word >> np.uint64(shift)) & np.uint64(0xFFFF) for shift in (0, 16, 32, 48))
    return (np.asarray(total).astype(np.float32) / np.float32(65535) - np.float32(2)) * np.float32(3.0**0.5)


def spread_out(words: Words) -> NDArray[np.float64]:
    """Two numbers between 0 and 1 for each word, (strips, 2); those of neighbouring words fill the square evenly.

    The additive sequence of the plastic number, which wants far fewer strips for a true mean than chance does
    (M. Roberts, "The unreasonable effectiveness of quasirandom sequences", 2018)."""
    steps = np.array([13925035116211876495, 10511698010929265437], dtype=np.uint64)
    return np.asarray((words[:, None] * steps).astype(np.float64) * 2.0**-64)


def normal_of(even: NDArray[np.float64]) -> NDArray[np.float64]:
    """Normal of what is evenly spread between 0 and 1, by Abramowitz and Stegun's formula 26.2.23 (to 0.00045); at most
    2.9 from the middle, for nobody lays a strip that looks like another wood."""
    tail = np.clip(np.minimum(even, 1 - even), 0.002, 0.5)
    t = np.sqrt(-2 * np.log(tail))
    size = t - (2.515517 + 0.802853 * t + 0.010328 * t**2) / (1 + 1.432788 * t + 0.189269 * t**2 + 0.001308 * t**3)
    return np.asarray(np.where(even < 0.5, -size, size))


@lru_cache(maxsize=256)
def _spline(count: int, pitch: float) -> tuple[NDArray[np.int64], Floats]:
    """Lattice places and the weights of a cubic B-spline for pixels ``pitch`` lattice steps wide: (places, count).

    Weights are scaled so that noise of deviation 1 stays about so between the places.
    """
    at = (np.arange(count) + 0.5) * pitch
    left = np.floor(at).astype(np.int64)
    part = at - left
    near = np.stack(
        [(1 - part) ** 3, 3 * part**3 - 6 * part**2 + 4, -3 * part**3 + 3 * part**2 + 3 * part + 1, part**3]
    )
    near /= np.sqrt((near**2).sum(axis=0))
    weights = np.zeros((int(left[-1]) + 4, count), dtype=np.float32)
    for step in range(4):
        weights[left + step, np.arange(count)] = near[step]
    weights.setflags(write=False)
    return np.arange(-1, len(weights) - 1), weights


def spline(count: int, pitch: float) -> tuple[NDArray[np.int64], Floats]:
    """The same, cut from one that is a little longer, so that strips of nearly one length share it."""
    places, weights = _spline(-(-count // 128) * 128, pitch)
    used = int((count - 0.5) * pitch) + 4
    return places[:used], weights[:used, :count]


def _spread(values: Floats, weights: Floats, pitch: float) -> Floats:
    """``values`` (…, rows, places) times ``weights`` (places, count), stretch by stretch: a pixel looks at four places,
    and products of matrices as small as these are not shared out among cores, which would take longer."""
    count, rows = weights.shape[1], values.shape[-2]
    out = np.empty((*values.shape[:-1], count), dtype=np.float32)
    stretch = 64
    while stretch < 512 and rows * 2 * stretch * (2 * stretch * pitch + 5) < SMALL_PRODUCT:
        stretch *= 2
    for first in range(0, count, stretch):
        last = min(first + stretch, count)
        places = slice(int((first + 0.5) * pitch), int((last - 0.5) * pitch) + 4)
        np.matmul(values[..., places], weights[places, first:last], out=out[..., first:last])
    return out


def along(words: Words, kind: int, count: int, mm_per_px: float, step_mm: float) -> Floats:
    """Smooth noise along one line, shape (strips, count)."""
    places, weights = spline(count, mm_per_px / step_mm)
    return _spread(normal(words, kind, places), weights, mm_per_px / step_mm)


def over(
    words: Words, kind: int, shape: tuple[int, int], mm_per_px: float, steps_mm: tuple[float, float], gain: float = 1.0
) -> Floats:
    """Smooth noise over a face of ``shape`` pixels, shape (strips, *shape), ``gain`` its deviation; steps across and
    along."""
    rows, down = spline(shape[0], mm_per_px / steps_mm[0])
    columns, right = spline(shape[1], mm_per_px / steps_mm[1])
    values = normal(words, kind, rows[None, :] + columns[:, None] * 4099)
    lines = _spread(values, down * np.float32(gain), mm_per_px / steps_mm[0])
    return _spread(np.ascontiguousarray(lines.swapaxes(1, 2)), right, mm_per_px / steps_mm[1])
