"""What the look of a wood's grain follows from: a few physical parameters, none of them a colour."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Rings:
    """Growth rings. Tones here and below are natural logarithms of reflectance: 0.1 is about a tenth darker.

    ``width_mm`` the mean ring, ``uneven`` the spread of the logarithm of widths from year to year; ``late`` how much
    darker a ring ends than it begins; ``line`` how dark (below nought: how light) the line at its end is, over
    ``line_mm``; ``early_mm`` the width of the zone of large pores at its beginning, 0 for diffuse-porous woods;
    ``uneven_tone`` the tone of whole rings against each other; ``wander_mm`` how far rings leave a true cone.
    """

    width_mm: float
    uneven: float = 0.3
    late: float = 0.1
    line: float = 0.0
    line_mm: float = 0.2
    early_mm: float = 0.0
    early: float = 0.0
    uneven_tone: float = 0.05
    wander_mm: float = 0.8


@dataclass(frozen=True, slots=True)
class Pores:
    """Vessels. ``diameter_mm``; ``per_mm2`` of the cross-section (of the early zone in ring-porous woods);
    ``length_mm`` of the dash a vessel leaves on a face; ``depth`` how much of the light such a dash swallows;
    ``late`` how many there are outside the early zone, as a part of those in it (1: everywhere alike)."""

    diameter_mm: float
    per_mm2: float
    length_mm: float
    depth: float = 0.5
    late: float = 1.0


@dataclass(frozen=True, slots=True)
class Rays:
    """Rays large enough to be seen. ``height_mm`` along the grain and ``thick_mm`` across it, as on a flat-sawn face;
    ``share`` of the flat face they cover; ``spindle`` their tone there; ``fleck`` their tone on the quarter (below
    nought: lighter than the ground), ``fleck_mm`` how tall along the grain and ``deep_mm`` how far across it a fleck is
    there, ``cover`` the share of a truly quartered face that flecks cover."""

    height_mm: float = 1.0
    thick_mm: float = 0.05
    share: float = 0.0
    spindle: float = 0.0
    fleck: float = 0.0
    fleck_mm: float = 1.0
    deep_mm: float = 2.0
    cover: float = 0.0


@dataclass(frozen=True, slots=True)
class Figure:
    """What light makes of fibres that do not lie straight, in some strips more than in others: ``ribbon`` the tone of
    interlocked grain's stripes on the quarter, ``ribbon_mm`` the width of a pair of them; ``curl`` the tone of waves
    across the grain, ``curl_mm`` from one to the next; ``mottle`` of soft patches."""

    ribbon: float = 0.0
    ribbon_mm: float = 12.0
    curl: float = 0.0
    curl_mm: float = 9.0
    mottle: float = 0.02


@dataclass(frozen=True, slots=True)
class Streaks:
    """Bands of other colour along the rings: ``tone`` how dark, ``every_mm`` from one to the next, ``tint`` the share
    of it red, green and blue take."""

    tone: float = 0.0
    every_mm: float = 12.0
    tint: tuple[float, float, float] = (1.0, 1.0, 1.0)


@dataclass(frozen=True, slots=True)
class Timber:
    """One wood's grain. ``spread`` and ``warmth`` are the standard deviations, between strips, of the logarithm of
    their reflectance and of red against blue; ``fibre`` the tone of the finest stripes along the grain; ``cut`` the
    angle in degrees between rings and face, and how far it spreads: 0 flat-sawn, 90 on the quarter; ``sources`` says
    what each group of values rests on."""

    rings: Rings
    pores: Pores
    rays: Rays = field(default_factory=Rays)
    figure: Figure = field(default_factory=Figure)
    streaks: Streaks = field(default_factory=Streaks)
    spread: float = 0.08
    warmth: float = 0.03
    fibre: float = 0.04
    cut: tuple[float, float] = (20.0, 22.0)
    sources: tuple[tuple[str, str], ...] = ()
