"""What a face shows in small: vessels as dashes, rays as spindles and flecks, and fibres, on one endless sheet a wood.

A sheet is a helix: whoever runs off its right edge comes in again some rows lower, and only after all rows at the
place where they started. Strips lie anywhere on it, so no two show the same part, and one of ten metres does not
repeat. A sheet holds four bytes a place (tone, vessels, spindles, flecks), so one look-up fetches all of them, and it
is blurred to the size of a pixel beforehand: what is finer fades to its mean.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from planner.drawing.preview.grain_noise import Floats
from planner.drawing.preview.timber import Pores, Rays, Timber

# The sheet's size and the finest it is drawn at, across and along the grain.
ACROSS_MM, ALONG_MM = 40.96, 327.68
FINEST_ROW_MM, FINEST_COLUMN_MM = 0.08, 0.16
# Rows a turn of the helix falls: odd, so that it comes through all of them.
FALL_MM = 17.0
# Of fibres every so many columns are drawn; and of the finest vessels, which nobody sees one by one, so many.
FEWER, MOST_DASHES = 16, 7_000
# Tones of the first byte: from -0.6 to 0.6 in natural logarithms.
TONE_RANGE = 0.6


@dataclass(frozen=True, slots=True)
class Shape:
    """Rows across the grain and columns along it, powers of two, and how many rows a turn of the helix falls."""

    rows: int
    columns: int
    fall: int

    @property
    def row_mm(self) -> float:
        return ACROSS_MM / self.rows

    @property
    def column_mm(self) -> float:
        return ALONG_MM / self.columns

    @property
    def area_mm2(self) -> float:
        return ACROSS_MM * ALONG_MM

    def index(self, row: NDArray[np.int64], column: NDArray[np.int64]) -> NDArray[np.int64]:
        # Powers of two, so that nothing need be divided.
        bits = self.columns.bit_length() - 1
        row = (row + self.fall * (column >> bits)) & (self.rows - 1)
        return (row << bits) + (column & (self.columns - 1))


@dataclass(frozen=True, slots=True)
class Sheet(Shape):
    """With ``places`` (rows * columns,) of four bytes each, row after row."""

    places: NDArray[np.uint32]


def shape_of(mm_per_px: float) -> Shape:
    """The coarsest sheet that still has three rows and more than one column a pixel."""
    halvings = int(np.clip(np.floor(np.log2(max(mm_per_px, 1e-6) / 3 / FINEST_ROW_MM)), 0, 4))
    rows = round(ACROSS_MM / FINEST_ROW_MM) >> halvings
    columns = round(ALONG_MM / FINEST_COLUMN_MM) >> halvings
    return Shape(rows, columns, int(FALL_MM / ACROSS_MM * rows) | 1)


def _helical(sheet: Floats, fall: int) -> NDArray[np.int64]:
    """Rows in the order a walk along the grain comes through them."""
    return np.asarray((np.arange(sheet.shape[0]) * fall) % sheet.shape[0], dtype=np.int64)


def box_mean(sheet: Floats, axis: int, width: float) -> Floats:
    """Mean over ``width`` places (not whole: the outermost count in part) around each; the edges meet."""
    half = (width - 1) / 2
    if half <= 0:
        return sheet
    whole, part = int(half), np.float32(half - int(half))
    total = sheet.copy()
    for step in range(1, whole + 1):
        total += np.roll(sheet, step, axis)
        total += np.roll(sheet, -step, axis)
    if part > 0:
        total += part * (np.roll(sheet, whole + 1, axis) + np.roll(sheet, -whole - 1, axis))
    return np.asarray(total * np.float32(1 / width))


def _blurred(sheet: Floats, shape: Shape, across_mm: float, along_mm: float) -> Floats:
    across = box_mean(sheet, 0, across_mm / shape.row_mm)
    order = _helical(sheet, shape.fall)
    line = across[order].reshape(-1)
    line = box_mean(line, 0, along_mm / shape.column_mm)
    back = np.empty_like(across)
    back[order] = line.reshape(across.shape)
    return back


def _runs(lengths: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """For runs of those lengths, one after another: which run a place is of, and the how manieth of it."""
    which = np.repeat(np.arange(len(lengths)), lengths)
    return which, np.arange(len(which)) - np.repeat(np.cumsum(lengths) - lengths, lengths)


def dashes(
    rng: np.random.Generator, shape: Shape, count: int, long_mm: float, thick_mm: float, uneven: float = 0.5
) -> Floats:
    """Dashes along the grain, 0 to 1 where they cover a place, rounded towards their ends."""
    row = rng.random(count) * shape.rows
    column = rng.random(count) * shape.columns
    half = np.maximum(long_mm / 2 * np.exp(uneven * rng.standard_normal(count)) / shape.column_mm, 0.3)
    thick = thick_mm * np.exp(0.25 * rng.standard_normal(count)) / shape.row_mm
    lean = rng.standard_normal(count) * 0.004 * shape.column_mm / shape.row_mm
    wide = int(np.ceil(half.max() * 2)) + 2
    spans = np.minimum(np.ceil(half * 2).astype(np.int64) + 1, wide)
    which, step = _runs(spans)
    first = np.floor(column - half).astype(np.int64)
    at = first[which] + step
    away = np.abs((at + 0.5 - column[which]) / half[which])
    ends = np.clip((1 - away) * half[which] + 0.5, 0, 1) * np.sqrt(np.clip(1.05 - away**2, 0.05, 1))
    middle = row[which] + lean[which] * (at + 0.5 - column[which])
    top = middle - thick[which] * ends / 2
    bottom = middle + thick[which] * ends / 2
    begins = np.floor(top).astype(np.int64)
    places, covers = [], []
    for below in range(int(np.ceil(thick.max())) + 2):
        line = begins + below
        covered = np.minimum(bottom, line + 1) - np.maximum(top, line)
        some = np.flatnonzero(covered > 0)
        places.append(shape.index(line[some], at[some]))
        covers.append(covered[some])
    total = np.bincount(np.concatenate(places), np.concatenate(covers), shape.rows * shape.columns)
    # Drawn finer or coarser, dashes cover the same share: the mean breadth of one is 0.82 of its greatest.
    share = 2 * 0.82 * float(half @ thick) / max(float(total.sum()), 1e-9)
    return (total * share).reshape(shape.rows, shape.columns).astype(np.float32)


def _flecks(rng: np.random.Generator, shape: Shape, rays: Rays) -> Floats:
    """Flecks of the quarter as heights 0 to 1: rays cut open lie across the grain, their edges low."""
    size = rays.fleck_mm * rays.deep_mm * 2 / 3
    count = int(1.5 * rays.cover * ACROSS_MM * ALONG_MM / size)
    if not count:
        return np.zeros((shape.rows, shape.columns), dtype=np.float32)
    row, column = rng.random(count) * shape.rows, rng.random(count) * shape.columns
    tall = np.maximum(rays.fleck_mm / 2 * np.exp(0.4 * rng.standard_normal(count)) / shape.column_mm, 0.5)
    deep = np.maximum(rays.deep_mm / 2 * np.exp(0.6 * rng.standard_normal(count)) / shape.row_mm, 0.7)
    lean = (0.12 + 0.14 * rng.standard_normal(count)) * shape.row_mm / shape.column_mm
    bend = rng.standard_normal(count) * 0.25
    own = (0.4 + 0.6 * rng.random(count)).astype(np.float32)
    # Row by row of each fleck, and in each row from where it begins to where it ends.
    which, down = _runs(np.ceil(deep * 2).astype(np.int64) + 1)
    line = np.floor(row - deep).astype(np.int64)[which] + down
    off = line + 0.5 - row[which]
    y2 = np.minimum((off / deep[which]) ** 2, 1)
    middle = column[which] + lean[which] * off + bend[which] * (y2 - 0.3) * tall[which]
    # A lens, pointed where the ray leaves the face.
    half = tall[which] * (1 - y2)
    begin = np.floor(middle - half).astype(np.int64)
    run, right = _runs(np.where(y2 < 1, np.ceil(middle + half).astype(np.int64) - begin, 0))
    at = begin[run] + right
    x = ((at + 0.5 - middle[run]) / np.maximum(half[run], 0.5)).astype(np.float32)
    height = np.clip(np.float32(2) * (1 - x * x), 0, 1) * own[which][run]
    total = np.bincount(shape.index(line[run], at), height, shape.rows * shape.columns)
    # Drawn finer or coarser, flecks hold as much: a lens is 4/3 of its half sizes, heights across it 1.72 of its half.
    share = 4 / 3 * 1.7238 * float(own @ (tall * deep)) / float(total.sum())
    heights: Floats = np.minimum(total * (share / 1.2), 1).astype(np.float32)
    return heights.reshape(shape.rows, shape.columns)


@lru_cache(maxsize=8)
def _fibres(rows: int, columns: int) -> Floats:
    """Fine stripes along the grain of deviation 1, the same for every wood, at the rows and columns asked for."""
    rng = np.random.default_rng(20)
    fine_rows, few = round(ACROSS_MM / FINEST_ROW_MM), round(ALONG_MM / FINEST_COLUMN_MM) // FEWER
    fine = Shape(fine_rows, few, int(FALL_MM / ACROSS_MM * fine_rows) | 1)
    total = np.zeros((fine_rows, few), dtype=np.float32)
    for thick, long, weight in ((0.16, 9.0, 1.0), (0.5, 26.0, 0.8), (1.6, 60.0, 0.55)):
        noise = rng.standard_normal((fine_rows, few), dtype=np.float32)
        smooth = _blurred(_blurred(noise, fine, thick, long / 2), fine, thick, long / 2)
        total += np.float32(weight) / smooth.std() * smooth
    total = (total / total.std()).reshape(rows, fine_rows // rows, few).mean(axis=1)
    # Along the grain nothing is short: between the few columns drawn a straight line will do.
    fall = int(FALL_MM / ACROSS_MM * rows) | 1
    on = np.concatenate([total[:, 1:], np.roll(total, -fall, 0)[:, :1]], axis=1)
    part = (np.arange(columns // few) + 0.5) / (columns // few)
    between = total[:, :, None] + (on - total)[:, :, None] * part.astype(np.float32)
    return np.asarray(between.reshape(rows, columns))


def _vessels(rng: np.random.Generator, shape: Shape, pores: Pores) -> Floats:
    """How much of each place vessels cover. A face cuts those that lie within half a diameter of it."""
    lines = pores.per_mm2 * pores.diameter_mm * ACROSS_MM
    count = min(int(lines * ALONG_MM / (pores.length_mm * 1.13)), MOST_DASHES)
    return dashes(rng, shape, max(count, 1), pores.length_mm, pores.diameter_mm * np.pi / 4)


@lru_cache(maxsize=32)
def sheet_of(timber: Timber, mm_per_px: float) -> Sheet:
    """The sheet of a wood for pixels of that size."""
    shape = shape_of(mm_per_px)
    rng = np.random.default_rng(7)
    vessels = np.minimum(_vessels(rng, shape, timber.pores), 1)
    rays = timber.rays
    flat = int(rays.share * shape.area_mm2 / (rays.height_mm * rays.thick_mm * 0.8))
    layers = {1: vessels}
    if flat:
        layers[2] = np.minimum(dashes(rng, shape, flat, rays.height_mm, rays.thick_mm, 0.4), 1)
    if rays.cover:
        layers[3] = _flecks(rng, shape, rays)
    tone = _fibres(shape.rows, shape.columns) * np.float32(timber.fibre)
    # The wall of an open vessel that faces the light shines a little.
    beside = max(1, round(timber.pores.diameter_mm / shape.row_mm))
    tone += np.float32(0.3 * timber.pores.depth) * np.clip(np.roll(vessels, beside, 0) - vessels, 0, 1)
    layers[0] = tone * np.float32(0.5 / TONE_RANGE) + np.float32(0.5)
    packed = np.zeros((shape.rows, shape.columns, 4), dtype=np.uint8)
    for kind, layer in layers.items():
        packed[..., kind] = np.clip(_blurred(layer, shape, mm_per_px, mm_per_px) * 255 + 0.5, 0, 255)
    places = packed.view(np.uint32).reshape(-1)
    places.setflags(write=False)
    return Sheet(shape.rows, shape.columns, shape.fall, places)
