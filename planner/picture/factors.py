"""Pitches that explain where a picture enlarged without loss changes: those at which every change begins a cell."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE

Places = NDArray[np.int64]
Floats = NDArray[np.float64]

# Enlarged by a factor, a picture's side is that many times its cells but for less than so many pixels, cut off or
# filled up.
_OVER = 1.0
# So many pitches are tried for every count of cells.
_TRIED = 9
_ROOM = 1e-6
# So many pitches that fit one side are tried with those of the other.
_MOST_FRACTIONS = 12
# In cells that the edge cuts, no uneven pitch is looked for below this many pixels: rounding hides nearly everything.
LEAST_FRACTION = 2.0


@dataclass(frozen=True, slots=True)
class Free:
    """The pitches from ``low`` to ``high`` at which ``changes`` begin the cells of the numbers in ``steps``, of which
    there are ``count``."""

    changes: Places
    steps: Floats
    low: float
    high: float
    count: int = 0

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2

    def offset(self, pitch: float) -> float:
        """The middle of where the cell of number 0 may start."""
        past = self.changes - self.steps * pitch
        return float(past.min() + past.max() - 1) / 2


def free_axes(changes: Places, side: int, lowest: float) -> list[Free]:
    """The pitches, from the ``lowest``, of whole cells, first at the picture's start, whose count times the pitch
    misses the ``side`` by less than a pixel."""
    counts = np.arange(len(changes) + 1, min(int((side + _OVER) / lowest), LARGEST_SIDE) + 1)
    over = np.linspace(-_OVER, _OVER, _TRIED)
    pitch = (side + over) / counts[:, None]
    places = np.concatenate([[0], changes])
    apart = spread(places, pitch.ravel()).reshape(pitch.shape)
    found = []
    for at in np.flatnonzero((apart < 1 + (over[1] - over[0])).any(axis=1)):
        least, most = max((side - _OVER) / counts[at], lowest), (side + _OVER) / counts[at]
        for tried in pitch[at][np.argsort(apart[at], kind="stable")]:
            free = pitches_near(places, float(tried))
            # A single pitch, at the very end of what the side allows, is one by chance.
            if free is None or free.steps[-1] >= counts[at]:
                continue
            if max(free.low, least) < min(free.high, most) - _ROOM:
                found.append(replace(free, low=max(free.low, least), high=min(free.high, most), count=int(counts[at])))
                break
    return found


def spread(changes: Places, pitch: Floats) -> Floats:
    """How far from one another, at most, the changes lie within their pitch, going round."""
    past = np.sort(changes[None, :] % pitch[:, None], axis=1)
    gaps = np.concatenate([np.diff(past, axis=1), past[:, :1] + pitch[:, None] - past[:, -1:]], axis=1)
    return np.asarray(pitch - gaps.max(axis=1), dtype=np.float64)


def pitches_near(changes: Places, pitch: float) -> Free | None:
    """The pitches that explain every change, each the start of the cell that a pitch near them makes it."""
    past = np.sort(changes % pitch)
    gaps = np.append(np.diff(past), past[0] + pitch - past[-1])
    widest = int(gaps.argmax())
    # Gone round the pitch the changes lie within a pixel; counted from the middle of that, none is half a cell off.
    middle = past[(widest + 1) % len(past)] + (pitch - gaps[widest]) / 2
    steps = np.round((changes - middle) / pitch)
    steps -= steps[0]
    apart, between = changes[:, None] - changes[None, :], steps[:, None] - steps[None, :]
    ahead = between > 0
    if not ahead.any() or (np.abs(apart[between == 0]) >= 1).any():
        return None
    # Each change b is the whole number next above o + kp, so b - 1 < o + kp <= b, and p lies between bounds.
    low, high = float(((apart[ahead] - 1) / between[ahead]).max()), float(((apart[ahead] + 1) / between[ahead]).min())
    return Free(changes, steps, low, high) if high - low > -1e-9 else None


def fractions(changes: Places) -> list[tuple[float, float]]:
    """Offsets and pitches that explain the changes along one side, the widest first."""
    span = float(changes[-1] - changes[0])
    if span < 6:
        return []
    # Steps so fine that the last edge moves by a quarter of a pixel from one to the next.
    tried = LEAST_FRACTION * np.exp(np.arange(0, np.log(max(span / 2, 4) / LEAST_FRACTION), 0.25 / span))
    found: list[tuple[float, float]] = []
    for place in np.flatnonzero(spread(changes, tried) < 1.3)[::-1]:
        drawn = _drawn_in(changes, float(tried[place]))
        if drawn is not None and all(abs(drawn[1] - other[1]) > 1e-6 for other in found):
            found.append(drawn)
        if len(found) == _MOST_FRACTIONS:
            break
    return found


def _drawn_in(changes: Places, pitch: float) -> tuple[float, float] | None:
    """An offset and a pitch near one tried that explain every change; None when none does."""
    free = pitches_near(changes, pitch)
    if free is None:
        return None
    return free.offset(free.middle), free.middle
