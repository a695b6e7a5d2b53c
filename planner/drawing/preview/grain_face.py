"""A face along the grain: a plane through a slightly conical, wandering stack of rings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.grain_layers import (
    BAND,
    BOW,
    CURL,
    MOTTLE,
    OWN,
    PATCH,
    PLACE,
    RIBBON,
    RIPPLE,
    TAPER,
    WANDER,
    Layers,
)
from planner.drawing.preview.grain_noise import Floats, Words, along, normal, over, uniform
from planner.drawing.preview.grain_rings import SLANTS, ring_tables
from planner.drawing.preview.grain_texture import TONE_RANGE, sheet_of
from planner.drawing.preview.timber import Timber


def face(timber: Timber, words: Words, width_px: int, length_px: int, mm_per_px: float, slants: int = SLANTS) -> Layers:
    """What strips show on a face, their length along the grain."""
    across = np.asarray((np.arange(width_px) + 0.5) * mm_per_px, dtype=np.float64)
    length = np.asarray((np.arange(length_px) + 0.5) * mm_per_px, dtype=np.float64)
    shape = (width_px, length_px)
    own = normal(words, OWN, np.arange(8))
    angle = np.radians(np.clip(timber.cut[0] + timber.cut[1] * own[:, 0], -88, 88))
    angle *= np.where(own[:, 2] > 0, 1, -1)
    pith = 60 + 130 * uniform(words, PLACE, np.arange(1))[:, 0]
    slope = 0.014 + 0.01 * own[:, 3]
    drift = 0.008 * own[:, 4][:, None] * length + 0.9 * along(words, BOW, length_px, mm_per_px, 85.0)
    depth = (
        (pith * np.cos(angle))[:, None]
        + slope[:, None] * length
        + 0.9 * along(words, TAPER, length_px, mm_per_px, 70.0)
    )
    side = (pith * np.sin(angle))[:, None] + drift
    x = across[None, :, None].astype(np.float32) + side[:, None, :].astype(np.float32)
    r = np.sqrt(x * x + (depth * depth)[:, None, :].astype(np.float32))
    np.abs(x, out=x)
    x /= r
    wander = np.float32(timber.rings.wander_mm)
    r += wander * np.float32(0.8) * over(words, WANDER, shape, mm_per_px, (9.0, 60.0))
    r += wander * np.float32(0.16) * over(words, RIPPLE, shape, mm_per_px, (2.2, 17.0))
    low = r.min(axis=(1, 2)).astype(np.float64)
    reach = float((r.max(axis=(1, 2)) - low).max())
    tables = ring_tables(timber, words, low, reach, mm_per_px, slants)
    places = tables.tone.shape[2]
    index = (x * np.float32(slants - 0.01)).astype(np.int64)
    index *= places
    index += ((r - tables.low[:, None, None].astype(np.float32)) * np.float32(1 / tables.step)).astype(np.int64)
    index += (np.arange(len(words)) * slants * places)[:, None, None]
    tone = np.take(tables.tone.reshape(-1), index, mode="clip")
    # What lies on the sheet: fibres, vessels, rays.
    sheet = sheet_of(timber, mm_per_px)
    start = uniform(words, PLACE, np.arange(1, 3))
    column = ((length[None, :] / sheet.column_mm) + (start[:, :1] * sheet.columns)).astype(np.int64)
    fallen = column // sheet.columns * sheet.fall + ((drift + start[:, 1:] * 1000) / sheet.row_mm).astype(np.int64)
    at = (across / sheet.row_mm).astype(np.int64)[None, :, None] + fallen[:, None, :]
    at &= sheet.rows - 1
    at *= sheet.columns
    at += (column % sheet.columns)[:, None, :]
    found = np.take(sheet.places, at, mode="clip").view(np.uint8).reshape(*at.shape, 4)
    tone += found[..., 0] * np.float32(2 * TONE_RANGE / 255)
    left = found[..., 1] * np.float32(-timber.pores.depth / 255)
    if tables.pores is not None:
        left *= np.take(tables.pores.reshape(-1), index, mode="clip")
    left += 1
    rays = timber.rays
    if rays.share:
        tone -= found[..., 2] * (np.float32(rays.spindle / 255) * np.clip(1.5 - 1.6 * x, 0, 1))
    if rays.cover:
        seen = np.clip((x - np.float32(0.62)) * 3.4, 0, 1)
        fleck = found[..., 3] * seen
        fleck *= np.float32(rays.fleck / 255)
        tone -= fleck
    _figured(timber, words, length, mm_per_px, x, r, tone)
    streak = None
    if tables.streak is not None:
        streak = np.take(tables.streak.reshape(-1), index, mode="clip")
        streak *= 1 + np.float32(0.5) * over(words, BAND, shape, mm_per_px, (8.0, 90.0))
        np.maximum(streak, 0, out=streak)
    return Layers(tone, left, streak)


def _figured(
    timber: Timber,
    words: Words,
    length: NDArray[np.float64],
    mm_per_px: float,
    quarter: Floats,
    r: Floats,
    tone: Floats,
) -> None:
    """Adds what light makes of fibres that do not lie straight: soft patches, curl, ribbons."""
    figure = timber.figure
    shape = tone.shape[1:]
    # Most boards have little curl, some much; ribbons are stronger and weaker likewise.
    own = np.exp(normal(words, OWN, np.arange(12, 14)) * np.array([0.5, 0.25], dtype=np.float32))[:, :, None, None]
    if figure.mottle:
        tone += over(words, MOTTLE, shape, mm_per_px, (14.0, 38.0), figure.mottle)
    if figure.curl:
        patch = over(words, PATCH, shape, mm_per_px, (16.0, 60.0))
        np.maximum(patch - np.float32(0.3), 0, out=patch)
        phase = over(words, CURL, shape, mm_per_px, (20.0, 15.0), 1.9)
        phase += (length * (2 * np.pi / figure.curl_mm)).astype(np.float32)
        np.sin(phase, out=phase)
        phase *= patch
        phase *= np.float32(figure.curl * _kept(figure.curl_mm, mm_per_px)) * own[:, 0]
        tone += phase
    if figure.ribbon:
        phase = over(words, RIBBON, shape, mm_per_px, (4.5, 90.0), 1.5)
        phase += r * np.float32(2 * np.pi / figure.ribbon_mm)
        wave = np.sin(phase, out=phase)
        wave *= np.float32(1.5) - np.float32(0.5) * wave * wave
        wave *= over(words, PATCH, shape, mm_per_px, (7.0, 55.0), 0.45) + 1
        wave *= quarter
        wave *= np.float32(figure.ribbon * _kept(figure.ribbon_mm, mm_per_px)) * own[:, 1]
        tone += wave


def _kept(period_mm: float, mm_per_px: float) -> float:
    """The part of a wave that is left where a pixel takes the mean of its own width; beyond a wave nothing is."""
    return max(0.0, float(np.sinc(mm_per_px / period_mm)))
