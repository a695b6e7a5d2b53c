"""Growth rings as tables: what lies at each distance from the pith, for every strip and for pixels seen at a slant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.grain_noise import Floats, Words, normal
from planner.drawing.preview.timber import Timber

_Any = TypeVar("_Any", bound=np.generic)
# Blurs a table is kept in, from what a pixel sees along a ring to what it sees straight across one.
SLANTS = 8
WIDTHS, TONES, FINE, BROAD, STREAK = 20, 21, 22, 23, 24


@dataclass(frozen=True, slots=True)
class RingTables:
    """Each (strips, slants, places), None where a wood has nothing of the kind: ``tone`` in natural logarithms,
    ``pores`` how many of the vessels are there, ``streak`` 0 and above. Place i of strip s lies ``low[s]`` +
    i * ``step`` millimetres from the pith."""

    tone: Floats
    pores: Floats | None
    streak: Floats | None
    low: NDArray[np.float64]
    step: float


def ring_tables(
    timber: Timber, words: Words, low: NDArray[np.float64], reach_mm: float, mm_per_px: float, slants: int = SLANTS
) -> RingTables:
    """Tables of strips from ``low`` (strips,) on, ``reach_mm`` long, for so many slants."""
    step = min(mm_per_px / 8, max(0.06, mm_per_px / 40))
    # Places are the same ones wherever a table begins, and its ends lie beyond what a pixel at its edge sees.
    low = (np.floor((low - mm_per_px) / step)) * step
    count = int((reach_mm + 2 * mm_per_px) / step) + 3
    at = low[:, None] + step * np.arange(count)
    rings, inside, width = _rings(timber, words, at)
    r = timber.rings
    own = np.exp(0.3 * normal(words, TONES, np.arange(-2, 0)))
    by_ring = normal(words, TONES, np.arange(int(rings.max()) + 1))
    uneven = _picked(by_ring, rings)
    share = (inside / width).astype(np.float32)
    tone = -(r.late * own[:, :1] * (1 + 0.35 * uneven)) * share * np.sqrt(share)
    if r.early:
        tone -= r.early * _zone(r.early_mm, inside, width)
    if r.line:
        tone -= r.line * own[:, 1:] * np.exp((inside - width) / r.line_mm).astype(np.float32)
    tone += r.uneven_tone * uneven
    tone += 0.5 * timber.fibre * _line(words, FINE, at, 0.45)
    tone += 0.6 * r.uneven_tone * _line(words, BROAD, at, 7.0)
    pores = streak = None
    if timber.pores.late < 1:
        pores = _early(timber, inside, width)
    if timber.streaks.tone:
        every = timber.streaks.every_mm
        waves = _line(words, STREAK, at, every / 2.2) + 0.45 * _line(words, STREAK + 1, at, every / 9)
        streak = np.asarray(np.clip(0.55 * waves + 0.1, 0, 2) ** 1.5, dtype=np.float32)
    pixel = mm_per_px / step
    return RingTables(
        np.log(_slants(np.exp(tone), pixel, slants)),
        None if pores is None else _slants(pores, pixel, slants),
        None if streak is None else _slants(streak, pixel, slants),
        low,
        step,
    )


def _rings(
    timber: Timber, words: Words, at: NDArray[np.float64]
) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
    """For each place: its ring's number, how far inside it lies, and how wide the ring is."""
    mean = timber.rings.width_mm
    count = int(at.max() / mean * 1.5) + 12
    years = normal(words, WIDTHS, np.arange(count + 6))
    slow = sum(years[:, i : i + count] for i in range(6)) / 6**0.5
    widths = mean * np.exp(timber.rings.uneven * (0.8 * years[:, :count] + 0.6 * slow)).astype(np.float64)
    ends = np.cumsum(widths, axis=1)
    # One sorted line for all strips: each has a stretch of its own.
    apart = 2 * max(float(ends.max()), float(at.max())) + 1
    line = (ends + apart * np.arange(len(ends))[:, None]).reshape(-1)
    found = np.searchsorted(line, at + apart * np.arange(len(ends))[:, None])
    rings = np.clip(found - count * np.arange(len(ends))[:, None], 0, count - 1)
    width = _picked(widths, rings)
    inside = np.clip(at - (_picked(ends, rings) - width), 0, width)
    return rings, inside, width


def _zone(early_mm: float, inside: NDArray[np.float64], width: NDArray[np.float64]) -> Floats:
    """1 in the zone a ring begins with, 0 outside; a narrow ring is little else."""
    return np.clip((np.minimum(early_mm, 0.6 * width) - inside) / 0.12 + 0.5, 0, 1).astype(np.float32)


def _early(timber: Timber, inside: NDArray[np.float64], width: NDArray[np.float64]) -> Floats:
    """Vessels: many where the ring begins, few later; in semi-ring-porous woods they thin out over the whole ring."""
    late, zone = timber.pores.late, timber.rings.early_mm
    open_ = _zone(zone, inside, width) if zone else (1 - inside / width) ** 1.6
    return np.asarray(late + (1 - late) * open_, dtype=np.float32)


def _line(words: Words, kind: int, at: NDArray[np.float64], step_mm: float) -> Floats:
    """Smooth noise along the distance from the pith, (strips, places)."""
    where = at / step_mm
    first = int(np.floor(where.min()))
    count = int(np.floor(where.max())) + 2 - first
    values = normal(words, kind, np.arange(first, first + count))
    left = np.floor(where).astype(np.int64)
    part = (where - left).astype(np.float32)
    part = part * part * (3 - 2 * part)
    left -= first
    low = _picked(values, left)
    left += 1
    return np.asarray((low + (_picked(values, left) - low) * part) * np.float32(1.2))


def _picked(table: NDArray[_Any], index: NDArray[np.int64]) -> NDArray[_Any]:
    """What stands in each strip's row of a table at the places of the same row of ``index``."""
    flat = table.reshape(-1)
    return np.asarray(flat[index + table.shape[1] * np.arange(len(table))[:, None]], dtype=table.dtype)


def _slants(line: Floats, pixel: float, slants: int) -> Floats:
    """The line as pixels see it that cover from none to ``pixel`` places of it, (strips, slants, places); one slant is
    straight across."""
    most = round(0.83 * pixel) + 2
    padded = np.pad(line, ((0, 0), (most, most)), mode="edge")
    out = np.empty((len(line), slants, line.shape[1]), dtype=np.float32)
    sums = np.cumsum(padded, axis=1, dtype=np.float64)
    for slant in range(slants):
        seen = (slant + 0.5) / slants if slants > 1 else 1.0
        # A pixel's own width and, so that narrow stripes do not beat with the pixels, a part of it again.
        first, second = (round(part * pixel * seen) for part in (0.5, 0.33))
        once = padded
        if first:
            once = np.empty_like(padded)
            once[:, first + 1 : -first] = (sums[:, 2 * first + 1 :] - sums[:, : -2 * first - 1]) / (2 * first + 1)
        if second:
            again = np.cumsum(once[:, most - second - 1 : once.shape[1] - most + second], axis=1, dtype=np.float64)
            out[:, slant] = (again[:, 2 * second + 1 :] - again[:, : -2 * second - 1]) / (2 * second + 1)
        else:
            out[:, slant] = once[:, most:-most]
    return out
