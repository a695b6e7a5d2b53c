"""Grids whose outermost cells are cut by the picture's edge, and that explain all else to the last pixel."""

from __future__ import annotations

from math import ceil, gcd, log

import numpy as np

from planner.pattern import LARGEST_SIDE
from planner.picture.exact_cells import ACCIDENTAL, PRICE_OF_A_CUT, PRICE_OF_FRACTIONS, STRETCH, Axis, Cells, cells_of
from planner.picture.factors import Places, fractions

_EDGES_BEYOND_STROKES = 12
# When a reading whose outermost cells are cut is taken although one of whole cells would do: its cells must be so
# many times larger, and each axis must show at least so many edges. Drawn in strokes three cells wide, with a margin
# of one, a small picture fits larger cut cells by its design; eight edges and more all in step do not come about so.
# Settled by trial: of 1027 icons of 24 by 24 none is taken for a cut one.
_TIMES_AND_EDGES = ((3, 8), (8, 4))
# As above where the whole reading has more cells than a pattern may have, so that it is this or none.
_EDGES_AT_LEAST = 3
# Cells of so many pixels are those of an enlarged picture.
_PLAINLY_ENLARGED = 3
# Cells are twice as large as others, and cut in half or not at all, but for so much. With more room, cropped pictures
# are taken for such strokes.
_HALF_SIZE, _HALVED = 0.08, 0.12
# A cell cut down to so little of itself, and not told from its neighbour, is taken for rounding.
_SLIVER = 0.2


def cut_in_whole_pixels(
    down: Places, across: Places, height: int, width: int, plain: Cells, whole: Cells
) -> tuple[Cells | None, Cells | None]:
    """Cells of a whole number of pixels, the outermost cut by the picture's edge: first where the evidence is strong,
    else second where the picture is plainly enlarged, so that they may be a drawing with half a cell of margin."""
    if not len(down) or not len(across):
        return None, None
    apart = float(gcd(*(int(place - places[0]) for places in (down, across) for place in places)))
    if apart < 2:
        return None, None
    for rounding in (1.0, 0.0):
        # A pitch within a hair of a whole number leaves a pixel over at the sides; a picture cut by more is taken at
        # its word to the last pixel.
        rows = _cut_axis(float(down[0]), apart, height, down, rounding)
        columns = _cut_axis(float(across[0]), apart, width, across, rounding)
        cut = _is_cut(rows, height, rounding) or _is_cut(columns, width, rounding)
        if not cut:
            break
    cells = cells_of(rows, columns, down, across, price=PRICE_OF_A_CUT, cut=cut)
    edges = min(len(down), len(across))
    if _take_cut(cells, plain, whole, edges):
        return cells, None
    halves = cut and cells.even and apart > 1.5 * whole.rows.pitch and whole.rows.pitch >= _PLAINLY_ENLARGED
    return None, cells if halves and edges >= _EDGES_AT_LEAST else None


def _take_cut(cut: Cells, plain: Cells, whole: Cells, edges: int) -> bool:
    if max(cut.rows.count, cut.columns.count) > LARGEST_SIDE:
        return False
    pitch, size = cut.rows.pitch, plain.rows.pitch
    if max(plain.rows.count, plain.columns.count) > LARGEST_SIDE:
        # Small cells fit by accident too, and then most of them show no edge.
        few = pitch < ACCIDENTAL and 2 * edges < min(cut.rows.count, cut.columns.count)
        enough = edges >= _EDGES_AT_LEAST and pitch > size and not few
    else:
        enough = any(pitch >= times * size and edges >= least for times, least in _TIMES_AND_EDGES)
    if whole is plain or not enough:
        return enough
    # An uneven grid of whole cells does as well. Of large cells that is no accident, unless cut ones are larger still
    # or so many edges keep in step with them that no drawing in strokes would.
    if whole.framed and not whole.even and cut.even:
        return cut.nats < whole.nats + PRICE_OF_A_CUT
    accident = pitch >= 2.9 * whole.rows.pitch or whole.rows.pitch < ACCIDENTAL or edges >= _EDGES_BEYOND_STROKES
    return accident and cut.nats < whole.nats


def _cut_axis(edge: float, pitch: float, side: int, changes: Places, rounding: float) -> Axis:
    """The cells of which the picture shows more than ``rounding`` pixels, and slivers that are seen to be cells."""
    offset = edge % pitch - pitch
    count = ceil((side - offset) / pitch - 1e-6)
    starts = [ceil(offset + k * pitch - 1e-6) for k in range(count + 1)]
    seen = set(changes.tolist())
    while count > 1 and starts[1] <= rounding and starts[1] not in seen:
        starts, offset, count = starts[1:], offset + pitch, count - 1
    while count > 1 and side - starts[count - 1] <= rounding and starts[count - 1] not in seen:
        count -= 1
    return Axis(offset, pitch, count)


def _is_cut(axis: Axis, side: int, rounding: float) -> bool:
    """Whether the picture's edge takes more off the outermost cells than rounding would."""
    return max(-axis.offset, axis.offset + axis.count * axis.pitch - side) > rounding


def _rounding(pitch: float) -> float:
    """A pitch that is no whole number is known to a fraction of a pixel only: at the picture's edge that makes slivers
    of so many pixels where nothing is."""
    return 0.0 if pitch.is_integer() else max(1.0, _SLIVER * pitch)


def cut_between_pixels(
    down: Places, across: Places, height: int, width: int, plain: Cells, whole: Cells
) -> Cells | None:
    """As before with a pitch that is no whole number: found by trying them all closely, then drawn in."""
    # A picture that changes at more places than a pattern has cells is no enlargement of one.
    if min(len(down), len(across)) < 4 or max(len(down), len(across)) > LARGEST_SIDE:
        return None
    along, beside = fractions(down), fractions(across)
    best: Cells | None = None
    for row in along:
        for column in beside:
            if abs(log(row[1] / column[1])) > STRETCH:
                continue
            rows = _cut_axis(*row, height, down, _rounding(row[1]))
            columns = _cut_axis(*column, width, across, _rounding(column[1]))
            stretched = abs(log(row[1] / column[1])) > 1.5 / min(rows.count * row[1], columns.count * column[1])
            price = PRICE_OF_A_CUT + (PRICE_OF_FRACTIONS if stretched else 0.0)
            cut = _is_cut(rows, height, _rounding(row[1])) or _is_cut(columns, width, _rounding(column[1]))
            cells = cells_of(rows, columns, down, across, price=price, cut=cut)
            if cells.nats < (best or plain).nats and _take_cut(cells, plain, whole, min(len(down), len(across))):
                best = cells
    return best


def cut_in_half(cut: Cells, whole: Cells, height: int, width: int) -> bool:
    """Whether the picture's edge would cut cells in half or not at all, and whole ones of half their size do as well:
    then they are strokes, with a margin of half a stroke."""
    if abs(cut.rows.pitch / whole.rows.pitch - 2) > _HALF_SIZE:
        return False
    # Between offset and edge lies what the program rounded by, down or up, the same for both sides.
    rounded, away = np.array([[0.0], [0.5], [1.0]]), np.zeros(3)
    for axis, side in ((cut.rows, height), (cut.columns, width)):
        start = axis.offset + rounded
        halves = 2 * np.hstack([-start, start + axis.count * axis.pitch - side]) / axis.pitch
        away = np.maximum(away, np.abs(halves - np.rint(halves)).max(axis=1))
    return bool(away.min() <= 2 * _HALVED)
