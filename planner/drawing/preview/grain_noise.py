"""Noise that belongs to a place in a strip: the same strip, drawn longer or larger, is the same piece of wood.

A generator that is asked for numbers one after another would give other wood as soon as more of it is asked for, so
each number is a hash of seed, kind and place: the finishing steps of SplitMix64 (G. L. Steele, D. Lea, C. H. Flood,
"Fast splittable pseudorandom number generators", OOPSLA 2014).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
Words = NDArray[np.uint64]

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


def spline(at: NDArray[np.float64]) -> tuple[NDArray[np.int64], Floats]:
    """Lattice places and the weights of a cubic B-spline: the first place, and a matrix (places, len(at)).

    ``at`` is in lattice steps. Weights are scaled so that noise of deviation 1 stays about so between the places.
    """
    first = int(np.floor(at.min())) - 1
    count = int(np.floor(at.max())) + 3 - first
    away = np.abs(at[None, :] - (first + np.arange(count))[:, None])
    near = 2 / 3 - away**2 + away**3 / 2
    far = np.clip(2 - away, 0, None) ** 3 / 6
    weights = np.where(away < 1, near, far)
    weights /= np.sqrt((weights**2).sum(axis=0))
    return first + np.arange(count), weights.astype(np.float32)


def along(words: Words, kind: int, at_mm: NDArray[np.float64], step_mm: float) -> Floats:
    """Smooth noise along one line, shape (strips, len(at_mm))."""
    places, weights = spline(at_mm / step_mm)
    return np.asarray(normal(words, kind, places) @ weights)


def over(
    words: Words,
    kind: int,
    across_mm: NDArray[np.float64],
    along_mm: NDArray[np.float64],
    steps_mm: tuple[float, float],
) -> Floats:
    """Smooth noise over a face, shape (strips, len(across_mm), len(along_mm)); steps across and along."""
    rows, down = spline(across_mm / steps_mm[0])
    columns, right = spline(along_mm / steps_mm[1])
    values = normal(words, kind, columns[None, :] * 4099 + rows[:, None])
    return np.asarray(down.T @ values @ right)
