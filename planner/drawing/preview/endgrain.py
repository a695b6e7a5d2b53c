"""A face across the grain: rings as arcs, rays as lines towards the pith, vessels as dots."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.grain_layers import BAND, MOTTLE, PLACE, RIPPLE, WANDER, Layers
from planner.drawing.preview.grain_noise import Floats, Words, over, uniform
from planner.drawing.preview.grain_rings import ring_tables
from planner.drawing.preview.grain_texture import ACROSS_MM, box_mean, dashes, shape_of
from planner.drawing.preview.timber import Timber

# Every wood has rays a lens shows: a twentieth of its section, a twentieth of a millimetre thick (common practice, no
# source). Where they can be seen without one, the timber says so.
FINE_SHARE, FINE_THICK_MM, FINE_TONE = 0.06, 0.05, 0.10
RAY_MM = 18.0
BRIGHTEST_RAY = 0.17
# Of the finest vessels, which nobody sees one by one, so many are drawn on a sheet.
MOST_DOTS = 16_000
# Strips that show the quarter on their broad side.
TURNED = 0.3


@dataclass(frozen=True, slots=True)
class EndSheet:
    """A square sheet that goes on at its edges: vessels as dots (rows * rows,), and rays as lines along the columns of
    another (rows, columns), both 0 to 255."""

    dots: NDArray[np.uint8]
    rays: NDArray[np.uint8]
    rows: int
    columns: int
    row_mm: float
    column_mm: float


@lru_cache(maxsize=32)
def end_sheet_of(timber: Timber, mm_per_px: float) -> EndSheet:
    """Vessels and rays of a wood's end grain for pixels of that size."""
    shape = shape_of(mm_per_px)
    rng = np.random.default_rng(11)
    dots = _dots(rng, shape.rows, timber.pores.diameter_mm / shape.row_mm, timber.pores.per_mm2 * ACROSS_MM**2)
    wide = mm_per_px / shape.row_mm
    dots = box_mean(box_mean(dots, 0, wide), 1, wide)
    rays = timber.rays
    seen = min(max(abs(rays.spindle), abs(rays.fleck)), BRIGHTEST_RAY) if rays.share else 0.0
    lines = FINE_TONE * _lines(rng, mm_per_px, FINE_SHARE, FINE_THICK_MM)
    if seen:
        lines = lines + seen * _lines(rng, mm_per_px, rays.share, rays.thick_mm)
    lines = box_mean(lines, 0, wide)
    return EndSheet(_bytes(dots), _bytes(lines), shape.rows, shape.columns, shape.row_mm, shape.column_mm)


def _bytes(layer: Floats) -> NDArray[np.uint8]:
    out: NDArray[np.uint8] = np.clip(layer * 255 + 0.5, 0, 255).astype(np.uint8).reshape(-1)
    out.setflags(write=False)
    return out


def _lines(rng: np.random.Generator, mm_per_px: float, share: float, thick_mm: float) -> Floats:
    shape = shape_of(mm_per_px)
    count = int(share * shape.area_mm2 / (RAY_MM * thick_mm))
    return np.minimum(dashes(rng, shape, max(count, 1), RAY_MM, thick_mm, 0.6), 1)


def _dots(rng: np.random.Generator, rows: int, diameter: float, number: float) -> Floats:
    """Round holes of about ``diameter`` places each, how much of a place they cover."""
    count = min(int(number), MOST_DOTS)
    centre = rng.random((count, 2)) * rows
    radius = diameter / 2 * np.exp(0.18 * rng.standard_normal(count))
    reach = int(np.ceil(radius.max() + 0.5))
    whole = np.floor(centre).astype(np.int64)
    steps = [np.array([down, right]) for down in range(-reach, reach + 1) for right in range(-reach, reach + 1)]
    covers = [np.clip(radius - np.hypot(*(whole + step + 0.5 - centre).T) + 0.5, 0, 1) for step in steps]
    # However coarse the sheet, a hole covers its own area.
    area = np.pi * radius**2 / np.maximum(sum(covers), 1e-9)
    places = [(whole + step) % rows @ np.array([rows, 1]) for step in steps]
    total = np.bincount(np.concatenate(places), np.concatenate([cover * area for cover in covers]), rows * rows)
    return np.minimum(total, 1).reshape(rows, rows).astype(np.float32)


def _pith(place: Floats) -> tuple[Floats, Floats, Floats]:
    """Where the pith lies, which no board holds: how far beyond one of the long sides, on which one (below nought:
    the further one; then the distance counts from 90 mm on), and how far along it, in millimetres."""
    way = np.where(place[:, 5] < 0.5, 1, -1).astype(np.float32)
    away = 32 + 110 * place[:, 0] + np.where(way < 0, 90, 0).astype(np.float32)
    return away, way, -110 + 250 * place[:, 1]


def end(timber: Timber, words: Words, width_px: int, length_px: int, mm_per_px: float, slants: int = 1) -> Layers:
    """What strips show on their ends, both sides across the grain. Every pixel looks straight across the rings."""
    shape = (width_px, length_px)
    across = (np.arange(width_px) + 0.5) * mm_per_px
    other = (np.arange(length_px) + 0.5) * mm_per_px
    place = uniform(words, PLACE, np.arange(7))
    pith = _pith(place)
    # Away from the pith and round it; in a strip that was turned on its edge the other way about.
    away, way, beside = (part[:, None, None] for part in pith)
    down, right = across.astype(np.float32)[None, :, None], other.astype(np.float32)[None, None, :]
    turned = (place[:, 6] < TURNED)[:, None, None]
    p = np.where(turned, away + right, away + way * down)
    q = np.where(turned, down - beside / 4, right - beside)
    r = np.sqrt(p * p + q * q)
    # Where a very wide piece reaches the pith, nothing is told by how far round it lies.
    q /= np.maximum(np.abs(p), np.float32(0.5))
    wander = timber.rings.wander_mm
    r += over(words, WANDER, shape, mm_per_px, (11.0, 11.0), 0.5 * wander)
    r += over(words, RIPPLE, shape, mm_per_px, (2.5, 2.5), 0.05 * wander)
    low = r.min(axis=(1, 2)).astype(np.float64)
    reach = float((r.max(axis=(1, 2)) - low).max())
    tables = ring_tables(timber, words, low, reach, mm_per_px, slants)
    places = tables.tone.shape[2]
    index = ((r - tables.low[:, None, None].astype(np.float32)) * np.float32(1 / tables.step)).astype(np.int64)
    index += ((np.arange(len(words)) * slants + slants - 1) * places)[:, None, None]
    tone = np.take(tables.tone.reshape(-1), index, mode="clip")
    sheet = end_sheet_of(timber, mm_per_px)
    rows = ((across[None, :] + 1000 * place[:, 2:3]) / sheet.row_mm).astype(np.int64) % sheet.rows * sheet.rows
    columns = ((other[None, :] + 1000 * place[:, 3:4]) / sheet.row_mm).astype(np.int64) % sheet.rows
    left = np.take(sheet.dots, rows[:, :, None] + columns[:, None, :]) * np.float32(-timber.pores.depth / 255)
    if tables.pores is not None:
        left *= np.take(tables.pores.reshape(-1), index, mode="clip")
    left += 1
    # Rays are told by how far round the pith they lie: their rows as wide as they are in the strip's middle.
    middle = np.abs(away) + np.float32(12)
    # So many rows further on that none is below nought, for numbers are cut off towards it.
    begin = place[:, 2] * (1000 / sheet.row_mm) + 64 * sheet.rows
    line = (q * (middle / np.float32(sheet.row_mm)) + begin[:, None, None].astype(np.float32)).astype(np.int64)
    line &= sheet.rows - 1
    line *= sheet.columns
    line += (r * np.float32(1 / sheet.column_mm)).astype(np.int64) % sheet.columns
    tone += np.take(sheet.rays, line) * np.float32(1 / 255)
    if timber.figure.mottle:
        tone += over(words, MOTTLE, shape, mm_per_px, (14.0, 14.0), timber.figure.mottle)
    streak = None
    if tables.streak is not None:
        streak = np.take(tables.streak.reshape(-1), index, mode="clip")
        streak *= over(words, BAND, shape, mm_per_px, (9.0, 9.0), 0.5) + 1
        np.maximum(streak, 0, out=streak)
    return Layers(tone, left, streak)
