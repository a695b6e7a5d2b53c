"""The comb of a ruling: how far apart its lines lie, how they lean and where the first one is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Strips = NDArray[np.float32]

# Pixels a cell, the fewest and the most that are searched for on the (reduced) picture.
LEAST_PITCH, MOST_PITCH = 4.6, 90.0
# The steepest lean of a line, as pixels aside per pixel along: four degrees.
STEEPEST = 0.07
# Cells a piece of the picture may span when its lines are checked one by one: the pitch of a ruling seen in
# perspective drifts, and over more cells the comb would no longer meet its lines.
SPAN = 24
# Of unruled pictures few peaks stand so many times above the floor; of ruled ones hardly one does not.
_STANDS_OUT = 6.0
# The pitch may be that of a peak, a multiple or a part of it. Where no such comb is worth more than the doubtful, heavy
# lines each five or ten may have drowned the others: their second, third and fourth harmonics then are what is seen.
# Those of the strongest peaks themselves, so many, are kept however little they are worth.
_OWN = 2
_FACTORS, _DOUBTFUL, _HEAVY_FACTORS = (1.0, 2.0, 0.5, 3.0, 1 / 3, 5.0, 0.2), 0.3, (0.4, 0.6, 0.8)


@dataclass(frozen=True, slots=True)
class Comb:
    """Lines ``pitch`` pixels apart, one of them at ``first`` where the height is ``along``, leaning ``lean`` pixels
    aside per pixel along; ``even`` and ``whole``, 0 to 1: how evenly the lines are there, and how much of all ridges
    they explain. ``start`` and ``stop`` bound the piece of the picture it was found in."""

    pitch: float
    first: float
    along: float
    lean: float
    even: float
    whole: float
    start: float
    stop: float

    @property
    def worth(self) -> float:
        return self.even * self.whole

    def moved(self, across: int, along: int) -> Comb:
        """As seen from a corner so many pixels further off, across the lines and along them."""
        first, start, stop = (place + across for place in (self.first, self.start, self.stop))
        return replace(self, first=first, along=self.along + along, start=start, stop=stop)


def spectrum_peaks(strips: Strips, each: float, most: int) -> list[tuple[float, float, float]]:
    """(frequency, lean, strength) of the strongest periodic ridges, strongest first: strength is the mean of the
    harmonics above the piece's own floor, in multiples of that floor."""
    count, width = strips.shape
    if count < 4 or width < 4 * LEAST_PITCH:
        return []
    level = strips - strips.mean(axis=1, keepdims=True)
    window = np.outer(np.hanning(count + 2)[1:-1], np.hanning(width + 2)[1:-1])
    across = 1 << int(np.ceil(np.log2(width * 1.5)))
    up = 1 << int(np.ceil(np.log2(count * 2)))
    power = np.abs(np.fft.rfft2(level * window, s=(up, across)))
    floor = float(np.median(power[:, across // 16 :])) + 1e-6
    frequencies = np.arange(max(2.0, across / MOST_PITCH), across / LEAST_PITCH, 0.5)
    # A lean moves the peak of frequency f to f * lean across the strips; leans finer than the spectrum can tell
    # apart are left out.
    finest = 0.5 / (each * count) * LEAST_PITCH * 2
    leans = np.arange(-STEEPEST, STEEPEST + finest, finest)
    leans -= leans[np.argmin(np.abs(leans))]
    total = np.zeros((len(leans), len(frequencies)), dtype=np.float32)
    weight = np.zeros(len(frequencies), dtype=np.float32)
    for harmonic in (1, 2, 3):
        column = np.rint(frequencies * harmonic).astype(np.intp)
        inside = column <= across // 2.4
        column = np.minimum(column, across // 2)
        row = np.rint(-leans[:, None] * frequencies * harmonic / across * each * up).astype(np.intp) % up
        total += np.where(inside, power[row, column], 0)
        weight += inside
    strength = total / np.maximum(weight, 1) / floor
    peaks = []
    for _ in range(most):
        lean, place = np.unravel_index(int(np.argmax(strength)), strength.shape)
        if strength[lean, place] <= 0:
            break
        peaks.append((float(frequencies[place] / across), float(leans[lean]), float(strength[lean, place])))
        near = slice(max(0, int(place) - 4), int(place) + 5)
        strength[:, near] = 0
    return peaks


def profile(strips: Strips, each: float, lean: float) -> NDArray[np.float64]:
    """The strips summed along the lean, as seen at the middle of their height."""
    count, width = strips.shape
    middle = (count - 1) / 2
    shift = (np.arange(count) - middle) * each * lean
    places = np.arange(width) + shift[:, None]
    below = np.floor(places).astype(np.intp)
    part = (places - below).astype(np.float32)
    rows = np.arange(count)[:, None]
    inside = (below >= 0) & (below < width - 1)
    below = np.clip(below, 0, width - 2)
    drawn = strips[rows, below] * (1 - part) + strips[rows, below + 1] * part
    share = np.maximum(inside.sum(axis=0), 1)
    return np.asarray((drawn * inside).sum(axis=0) / share, dtype=np.float64)


def fit_comb(ridges: NDArray[np.float64], pitch: float, lean: float, along: float, offset: float) -> Comb:
    """The comb near ``pitch`` that meets the ridges of a profile best."""
    width = len(ridges)
    if width > SPAN * pitch:
        # The piece with most on it, of those as long as a comb may be.
        length = int(SPAN * pitch)
        sums = np.concatenate([[0.0], np.cumsum(ridges)])
        start = int(np.argmax(sums[length:] - sums[:-length]))
        ridges, offset, width = ridges[start : start + length], offset + start, length
    floor = float(np.median(ridges)) if pitch > 7 else float(np.quantile(ridges, 0.3))
    height = np.maximum(ridges - floor, 0)
    # A line is met within a pixel to either side.
    met = np.maximum(height, np.maximum(np.append(height[1:], 0), np.append(0, height[:-1])))
    lines = max(2, int((width - 1) / pitch))
    drift = 0.9 / lines
    pitches = pitch * (1 + np.linspace(-drift, drift, 13))
    phases = np.arange(0.0, pitch, 0.5 if pitch < 16 else 1.0)
    places = phases[None, :, None] + pitches[:, None, None] * np.arange(lines)[None, None, :]
    index = np.rint(places).astype(np.intp)
    values = np.where(index < width, height[np.minimum(index, width - 1)], 0)
    which = np.unravel_index(int(np.argmax(np.sqrt(values).sum(axis=2))), values.shape[:2])
    best, phase = float(pitches[which[0]]), float(phases[which[1]])
    # The last line may just have slipped off; count what lies inside.
    at = np.rint(phase + best * np.arange(int((width - 1 - phase) / best) + 1)).astype(np.intp)
    here = met[at]
    usual = float(np.quantile(here, 0.7)) + 1e-9
    even = float(np.minimum(here / usual, 1).mean())
    near = np.zeros(width, dtype=bool)
    # Twice as wide for wide pitches, whose lines are often thicker than one pixel.
    for step in (-1, 0, 1) if best < 9 else (-2, -1, 0, 1, 2):
        near[np.clip(at + step, 0, width - 1)] = True
    capped = np.minimum(height, usual)
    # By chance alone the places near lines would hold their share of all there is; that is taken off.
    chance = float(near.mean())
    share = float(capped[near].sum() / (capped.sum() + 1e-9))
    whole = max(0.0, (share - chance) / (1 - chance + 1e-9)) if chance < 0.95 else share
    return Comb(best, offset + phase + 0.5, along, lean, even, whole, offset, offset + width)


def best_combs(strips: Strips, each: float, left: float, top: float, most: int) -> list[Comb]:
    """The likeliest combs of a piece of the strips whose first column and first strip lie at (left, top)."""
    found: list[Comb] = []
    tried: list[tuple[float, float]] = []
    along = top + strips.shape[0] * each / 2
    peaks = [peak for peak in spectrum_peaks(strips, each, 4) if peak[2] >= _STANDS_OUT]
    own: list[Comb] = []
    for factors in (_FACTORS, _HEAVY_FACTORS):
        if max((comb.worth for comb in found), default=0.0) >= _DOUBTFUL:
            break
        for frequency, lean, _ in peaks:
            ridges = profile(strips, each, lean)
            for factor in factors:
                pitch = factor / frequency
                # A fit finds its way from anywhere near; a second one from there would come to the same.
                if any(abs(pitch / other - 1) < 0.015 and abs(lean - leant) < each / 1e4 for other, leant in tried):
                    continue
                if LEAST_PITCH <= pitch <= min(MOST_PITCH, len(ridges) / 3):
                    tried.append((pitch, lean))
                    found.append(fit_comb(ridges, pitch, lean, along, left))
                    if factor == 1.0 and len(own) < _OWN:
                        own.append(found[-1])
    found.sort(key=lambda comb: -comb.worth)
    different: list[Comb] = []
    for comb in found:
        if all(abs(comb.pitch / other.pitch - 1) > 0.04 for other in different):
            different.append(comb)
    # Where lines are drawn here and there only, combs of half their pitch explain more; the spectrum knows better.
    return [comb for at, comb in enumerate(different) if at < most or comb in own]
