"""Strips of wood as one sees them, drawn from physical parameters: rings, pores, rays, figure and tone.

A trunk is a slightly conical, wandering stack of rings, and a face is a plane through it. Where the plane runs along
the rings it shows arches, where it crosses them stripes; both follow from the distance to the pith and nothing else.
All sizes are millimetres of wood, so that a strip drawn larger is the same strip, only closer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal
from zlib import crc32

import numpy as np
from numpy.typing import ArrayLike, NDArray

from planner.drawing.preview.endgrain import end
from planner.drawing.preview.grain_face import face
from planner.drawing.preview.grain_layers import Layers
from planner.drawing.preview.grain_noise import Floats, Words, normal_of, spread_out, words_of
from planner.drawing.preview.timber import Timber

# Pixels worked on at a time, so that what stands between two steps stays in the processor's cache.
AT_ONCE = 80_000


def strips(
    timber: Timber,
    light: ArrayLike,
    seeds: Sequence[int],
    width_px: int,
    length_px: int,
    mm_per_px: float,
    surface: Literal["face", "end"] = "face",
) -> NDArray[np.float32]:
    """Linear-light sRGB of strips of a wood, 0 to 1, shape (len(seeds), width_px, length_px, 3).

    The grain runs along the length; ``surface`` "end" is a face across the grain, where it runs along neither side.
    ``light`` is the wood's colour, linear, the mean over many strips; how light or warm one strip is follows from its
    seed, any whole number, as does everything it shows. The same arguments give the same bytes; a strip drawn longer,
    wider or from further off is the same piece of wood. Meant for 0.1 to 10 mm a pixel.

    >>> from planner.drawing.preview.timbers import timber_of
    >>> strips(timber_of("walnut-black"), (0.09, 0.04, 0.02), [1, 2], 20, 90, mm_per_px=1.0).shape
    (2, 20, 90, 3)
    """
    colour = np.asarray(light, dtype=np.float64)
    directions = _directions(timber, colour)
    words = words_of(seeds) + np.uint64(_salt(timber))
    usual = _usual(timber, tuple(float(c) for c in colour), surface)
    base = (_own_tones(timber, words, directions["spread"], usual) * colour / usual.mean).astype(np.float32)
    shown = end if surface == "end" else face
    out = np.empty((len(words), width_px, length_px, 3), dtype=np.float32)
    many = max(1, AT_ONCE // (width_px * length_px))
    for first in range(0, len(words), many):
        some = slice(first, first + many)
        layers = shown(timber, words[some], width_px, length_px, mm_per_px)
        _coloured(layers, directions, base[some], out[some])
    return out


def _salt(timber: Timber) -> int:
    """A number of the timber's own, so that strips of two woods with one seed have nothing in common."""
    return crc32(repr((timber.rings, timber.pores, timber.rays, timber.figure, timber.streaks)).encode()) << 20


def _directions(timber: Timber, colour: NDArray[np.float64]) -> dict[str, NDArray[np.float64]]:
    """How red, green and blue take part in a tone: what light wood swallows little of changes little.

    Half-way between Beer and Lambert's law, by which more of the same stuff darkens a channel by the logarithm of its
    reflectance, and mere shade, which darkens all alike (no source for half-way: by eye)."""
    depth = -np.log(np.clip(colour, 0.004, 0.98))
    pull = 0.62 + 0.38 * depth / depth.mean()
    # Near white there is no room above the mean.
    room = min(1.0, float(depth.min()) / 0.25)
    warm = np.array([0.4, 0.0, -1.0])
    return {
        "tone": pull * room,
        "streak": np.array(timber.streaks.tint) * timber.streaks.tone * room,
        "spread": np.stack([pull * room, warm * room]),
    }


def _coloured(layers: Layers, directions: dict[str, NDArray[np.float64]], base: Floats, out: Floats) -> None:
    for channel in range(3):
        tone = layers.tone * np.float32(directions["tone"][channel])
        if layers.streak is not None:
            tone -= layers.streak * np.float32(directions["streak"][channel])
        np.exp(tone, out=tone)
        tone *= layers.left
        tone *= base[:, channel, None, None]
        np.minimum(tone, 1, out=tone)
        out[..., channel] = tone


@dataclass(frozen=True, slots=True)
class _Usual:
    """What drawing gives before strips get tones of their own: the ``mean`` of red, green and blue, and the spread of
    the logarithms of whole strips."""

    mean: NDArray[np.float64]
    spread: float


@lru_cache(maxsize=64)
def _usual(timber: Timber, colour: tuple[float, ...], surface: str) -> _Usual:
    """Seen on many short pieces, coarsely."""
    directions, layers = _directions(timber, np.array(colour)), _short_pieces(timber, surface)
    out = np.empty((*layers.tone.shape, 3), dtype=np.float32)
    _coloured(layers, directions, np.full((len(out), 3), 0.01, dtype=np.float32), out)
    pieces = out.mean(axis=(1, 2), dtype=np.float64) * 100
    return _Usual(pieces.mean(axis=0), float(np.log(pieces.mean(axis=1)).std()))


@lru_cache(maxsize=64)
def _short_pieces(timber: Timber, surface: str) -> Layers:
    """The same whatever colour the wood has, dry or oiled."""
    words = words_of(range(1_000_003, 1_000_003 + 240)) + np.uint64(_salt(timber))
    return (end if surface == "end" else face)(timber, words, 6, 10, 3.7, slants=1)


def _own_tones(timber: Timber, words: Words, ways: NDArray[np.float64], usual: _Usual) -> NDArray[np.float64]:
    """What each strip's colour is multiplied by, (strips, 3), 1 in the mean: as much as rings and streaks leave of the
    timber's spread, and a share of it in any case."""
    own = normal_of(spread_out(words))
    spread = max(timber.spread**2 - usual.spread**2, (0.4 * timber.spread) ** 2) ** 0.5
    tones = np.stack([spread * ways[0], timber.warmth * ways[1]])
    # The mean of what is normal in logarithms lies above its middle.
    return np.asarray(np.exp(own @ tones - (tones**2).sum(axis=0) / 2))
