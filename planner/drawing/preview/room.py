"""Across the room: what is left of a board for an eye with normal acuity so many metres away.

The eye's lens and nerves blur fine differences, and differences of colour far more than those of light. X. Zhang and
B. A. Wandell, "A spatial extension of CIELAB for digital color image reproduction" (Society for Information Display,
1996), put that into sums of Gaussians w exp(-(r / s)²), s in degrees of the visual field, for three opponent channels:
light and dark, red and green, blue and yellow (weights and spreads as re-published in several open implementations of
S-CIELAB; the matrix to the channels from memory). Each sum is scaled to 1, so that large areas keep their colour.

Theirs is a measure of differences between two pictures; ours is itself looked at, which asks for two changes of our
own. What light surroundings take from an area (their third Gaussian of light, weighted below nought) is left out, for
the eye that looks at the picture does that itself. And the two channels of colour are blurred as parts of the light,
or a dark tile would take on its light surroundings' colour at their strength.

Whoever looks at such a picture sees in its whole width what there is to see of the real board at that distance. It is
an eye's mean, in good light.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.frame import Frame
from planner.drawing.preview.light import soft_box
from planner.errors import PlannerError
from planner.picture.colour import RGB_TO_XYZ

Floats = NDArray[np.float32]

NEAREST, FARTHEST = 0.5, 20.0
# Weight and spread in degrees of each Gaussian, channel by channel.
GAUSSIANS = (
    ((0.921, 0.0283), (0.105, 0.133)),
    ((0.531, 0.0392), (0.330, 0.494)),
    ((0.488, 0.0536), (0.371, 0.386)),
)
_XYZ_TO_OPPONENT = np.array([[0.279, 0.72, -0.107], [-0.449, 0.29, -0.077], [0.086, -0.59, 0.501]])
TO_OPPONENT = _XYZ_TO_OPPONENT @ RGB_TO_XYZ
# Paper goes on around a picture for so many degrees, or its far side would shine into this one.
AROUND = 0.8
# Pixels need be no finer than this part of the finest Gaussian's spread.
FINEST = 0.45


def check_metres(metres: float) -> None:
    """Raises PlannerError, field "metres", outside 0.5 to 20 m."""
    if not NEAREST <= metres <= FARTHEST:
        raise PlannerError(
            f"A board is not shown from {metres:g} m.",
            mend=f"Choose {NEAREST:g} to {FARTHEST:g} metres.",
            field="metres",
        )


def degrees(mm: float, metres: float) -> float:
    """The angle that so many millimetres fill at that distance, for small ones."""
    return float(np.degrees(mm / 1000 / metres))


def finest_mm(metres: float) -> float:
    """The size of a pixel that holds all an eye sees at that distance, in millimetres.

    >>> round(finest_mm(3.0), 2)
    0.67
    """
    return float(np.radians(GAUSSIANS[0][0][1]) * FINEST * metres * 1000)


def as_seen(light: Floats, mm_per_px: float, metres: float) -> Floats:
    """A picture of linear light (rows × columns × 3) as an eye at that distance has it, in linear light too."""
    height, width = light.shape[:2]
    pixel = degrees(mm_per_px, metres)
    around = round(AROUND / pixel)
    opponent = light @ TO_OPPONENT.T.astype(np.float32)
    opponent[..., 1:] /= np.maximum(opponent[..., :1], np.float32(1e-4))
    rows, columns = _easy(height + 2 * around), _easy(width + 2 * around)
    down, along = np.fft.fftfreq(rows, pixel), np.fft.rfftfreq(columns, pixel)
    squared = (down[:, None] ** 2 + along[None, :] ** 2).astype(np.float32)
    seen = np.empty_like(opponent)
    for channel, gaussians in enumerate(GAUSSIANS):
        whole = sum(weight for weight, _ in gaussians)
        # The transform of exp(-(r / s)²), scaled to 1 at frequency nought, is exp(-(pi s f)²).
        passed = sum(
            np.float32(weight / whole) * np.exp(np.float32(-((np.pi * spread) ** 2)) * squared)
            for weight, spread in gaussians
        )
        sides = ((around, rows - height - around), (around, columns - width - around))
        padded = np.pad(opponent[..., channel], sides, mode="edge")
        blurred = np.fft.irfft2(np.fft.rfft2(padded) * passed, s=padded.shape)
        seen[..., channel] = blurred[around : around + height, around : around + width]
    seen[..., 1:] *= seen[..., :1]
    return np.asarray(seen @ np.linalg.inv(TO_OPPONENT).T.astype(np.float32), dtype=np.float32)


def paper_around(seen: Floats, frame: Frame, metres: float, paper: NDArray[np.float64]) -> None:
    """Give the paper around a board its own colour again, which the eye's blur of colours would tinge: it is there to
    lay the picture on, and hangs on no wall. The board's outline stays as soft as the eye has it."""
    soft = GAUSSIANS[0][0][1] / np.sqrt(2) / degrees(1 / frame.scale, metres)
    along = soft_box(frame.width, frame.left, frame.left + frame.across, soft)
    down = soft_box(frame.height, frame.top, frame.top + frame.down, soft)
    light = TO_OPPONENT[0].astype(np.float32)
    plain = (seen @ light)[..., None] * (paper / float(paper @ TO_OPPONENT[0])).astype(np.float32)
    seen += (1 - down[:, None] * along[None, :])[..., None] * (plain - seen)


def _easy(size: int) -> int:
    """The next number with no prime factor above 5, for which the fast Fourier transform is fast.

    >>> _easy(1259)
    1280
    """
    while True:
        rest = size
        for prime in (2, 3, 5):
            while rest % prime == 0:
                rest //= prime
        if rest == 1:
            return size
        size += 1
