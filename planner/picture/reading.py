"""The grid in a picture: first as one that explains it to the last pixel, else as the one that explains it best."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.pattern import LARGEST_SIDE
from planner.picture.aside import drift_of, rectangle_in_frame, set_aside
from planner.picture.cells import read_cells
from planner.picture.charts import ChartFound, find_charts
from planner.picture.choosing import Found, in_order, turned_grids, upright_grids
from planner.picture.cleaning import cleaned_colours
from planner.picture.decode import Decoded, PictureError, decode, too_much_memory
from planner.picture.grid import OPAQUE, NoGrid, PictureGrid, Proposal, Reading
from planner.picture.lattice import Lattice
from planner.picture.lossless import Cells, exact_readings
from planner.picture.redraw import Floats
from planner.picture.working import Working, working_copy

# Runners-up shown beside the best.
_MOST_OTHERS = 3
# What an exact reading of enlarged cells must save over one pixel a cell, in nats, to be believed at once.
_EXACT_SAVES = 12.0
# A picture of one pixel a cell wears few colours; with so few or fewer a blurred grid must stand out more to be seen in
# it. Settled by trial on the development set, as are both marks.
_FEW_COLOURS = 64
_STANDS_OUT_OF_FEW, _STANDS_OUT_OF_MANY = 0.9, 0.5
_CLEARLY_ENLARGED = 4.0
_STANDS_OUT_AT_ALL = 0.3
# In fewer pixels no blurred grid is looked for: they would hold next to no cells.
_LEAST_SIDE = 30
# A chart of this score is one, whatever else the picture might be.
_CHART_FOR_SURE = 0.85
# With fewer cells a side than this no cell is as narrow as a line between others.
_MANY_CELLS = 40
# A chart whose sides run further off the upright than so much of a cell was photographed.
_ASKEW = 0.3
# Lines one pixel wide on cells of eight are still seen when a chart of 200 cells is brought to this size.
_LONGEST_PLAIN = 1600
_REDUCE = "Choose a size in cells and the picture is reduced to it, or bring pixel art, enlarged or not."


@dataclass(frozen=True, slots=True)
class _Outcome:
    best: Proposal
    others: tuple[Proposal, ...]
    sure: bool
    seen: tuple[str, ...]
    cut: bool = False
    lines: str = ""


def read_picture(data: bytes) -> Reading:
    """Read the grid of a picture file.

    Raises PictureError saying what is wrong and what to bring instead; NoGrid where the picture is fine but holds
    no grid of at most 200 cells a side.
    """
    try:
        return _read(data)
    except MemoryError as error:
        raise too_much_memory() from error


def _read(data: bytes) -> Reading:
    decoded = decode(data)
    width, height = decoded.image.size
    outcome = _found(decoded)
    seen = list(decoded.seen) + list(outcome.seen)
    if not decoded.lossless:
        seen.append("a lossy file: colours may have drifted a little from those it was drawn in")
    best = outcome.best
    if not best.grid.filled.any():
        raise PictureError("There is nothing in the picture but background.", mend="Bring one with something drawn.")
    return Reading(
        best.grid,
        best.kind,
        max(1, round(best.lattice.pitch)),
        width,
        height,
        tuple(seen),
        best.lattice,
        outcome.others,
        outcome.sure,
        best.lattice.pitch,
        best.lattice.turn,
        outcome.lines,
        outcome.cut,
    )


def _found(decoded: Decoded) -> _Outcome:
    width, height = decoded.image.size
    pixels = np.array(decoded.image)
    pixels[pixels[..., 3] < OPAQUE] = 0
    codes = np.ascontiguousarray(pixels).view(np.uint32)[..., 0]
    readings = exact_readings(codes)
    if (codes == codes[0, 0]).all():
        raise PictureError(
            "The picture is a single pixel." if codes.size == 1 else "The whole picture is of one colour.",
            mend="Bring one with a drawing in it.",
        )
    native = readings[-1]
    fits = [cells for cells in readings if max(cells.rows.count, cells.columns.count) <= LARGEST_SIDE]
    if fits and fits[0] is not native:
        best = fits[0]
        if best.cut or (best.even and not best.framed) or native.nats - best.nats >= _EXACT_SAVES:
            return _chart_of(decoded.image, best) or _exact(pixels, fits)
    if fits and fits[-1] is native:
        # What is not believed comes after one pixel a cell.
        fits = [native, *fits[:-1]]
    opaque = bool((pixels[..., 3] >= OPAQUE).all())
    few = bool(fits) and len(np.unique(codes)) <= _FEW_COLOURS
    if not fits:
        # A large picture is held only once from here on.
        del pixels, codes
    plain, ratio = _plain_copy(decoded.image) if opaque else (None, 1.0)
    charts = [_enlarged(chart, ratio) for chart in find_charts(np.asarray(plain))] if plain else []
    if charts and charts[0].score >= _CHART_FOR_SURE:
        return _charted(charts)
    working = working_copy(decoded.image)
    candidates: list[tuple[Found, Working]] = []
    if min(working.values.shape[:2]) >= _LEAST_SIDE:
        candidates = [(one, working) for one in upright_grids(working)]
        if plain:
            turned = [
                (one, copy.enlarged(ratio))
                for one, copy in turned_grids(plain, working, [one for one, _ in candidates])
            ]
            candidates = in_order(candidates, turned)
    if not candidates or candidates[0][0].stands_out < _needed(candidates[0][0], few, bool(fits)):
        if fits:
            return _exact(pixels, fits)
        if charts:
            return _charted(charts)
        raise _no_grid(readings, width, height)
    proposals = [_proposal(copy, one, not at) for at, (one, copy) in enumerate(candidates[: _MOST_OTHERS + 1])]
    sure = candidates[0][0].stands_out > 0.9
    return _Outcome(proposals[0][0], tuple(p for p, _ in proposals[1:]), sure, proposals[0][1])


def _chart_of(image: Image.Image, exact: Cells) -> _Outcome | None:
    """A chart whose ruled lines are as wide as the cells of an exact reading; None where there is none."""
    if max(exact.rows.count, exact.columns.count) < _MANY_CELLS or image.getchannel("A").getextrema()[0] != 255:
        return None
    plain, ratio = _plain_copy(image)
    charts = [_enlarged(chart, ratio) for chart in find_charts(np.asarray(plain))]
    return _charted(charts) if charts and charts[0].score >= _CHART_FOR_SURE else None


def _plain_copy(image: Image.Image) -> tuple[Image.Image, float]:
    """An RGB copy no longer than charts need it, and the picture's own pixels to one of its."""
    ratio = max(1.0, max(image.size) / _LONGEST_PLAIN)
    if ratio == 1.0:
        return image.convert("RGB"), 1.0
    size = max(1, round(image.width / ratio)), max(1, round(image.height / ratio))
    return image.resize(size, Image.Resampling.BOX, reducing_gap=2.0).convert("RGB"), ratio


def _enlarged(chart: ChartFound, ratio: float) -> ChartFound:
    one, two, three, four = ((x * ratio, y * ratio) for x, y in chart.lattice.corners)
    lattice = Lattice((one, two, three, four), chart.lattice.rows, chart.lattice.columns)
    return replace(chart, lattice=lattice)


def _needed(found: Found, few: bool, fits: bool) -> float:
    """How far a grid must stand out to be believed, most where the picture may be one of a pixel a cell."""
    if not fits:
        return _STANDS_OUT_AT_ALL
    return _STANDS_OUT_OF_FEW if few and found.rows.pitch < _CLEARLY_ENLARGED else _STANDS_OUT_OF_MANY


def _charted(charts: list[ChartFound]) -> _Outcome:
    proposals = [_chart_proposal(chart) for chart in charts[: _MOST_OTHERS + 1]]
    others = tuple(proposal for proposal, _ in proposals[1:])
    return _Outcome(proposals[0][0], others, charts[0].score > _CHART_FOR_SURE, proposals[0][1], lines=charts[0].lines)


def _chart_proposal(chart: ChartFound) -> tuple[Proposal, tuple[str, ...]]:
    filled, how = set_aside(chart.rgb, None, drift=drift_of(0.0), running=chart.rgb, around=chart.paper)
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = chart.lattice.corners
    askew = max(abs(by - ay), abs(cy - dy), abs(dx - ax), abs(cx - bx)) > _ASKEW * chart.lattice.pitch
    return Proposal(PictureGrid(chart.rgb, filled), chart.lattice, "photographed" if askew else "chart"), how


def _no_grid(readings: list[Cells], width: int, height: int) -> NoGrid:
    cells = readings[0]
    each = "one pixel" if cells.rows.pitch <= 1 else f"{cells.rows.pitch:g} pixels"
    return NoGrid(
        f"Read at {each} a cell the picture is {cells.columns.count} cells wide and {cells.rows.count} high; "
        f"the largest side is {LARGEST_SIDE}.",
        mend=_REDUCE,
        width_px=width,
        height_px=height,
    )


def _exact(pixels: NDArray[np.uint8], readings: list[Cells]) -> _Outcome:
    best = readings[0]
    proposals = [_exact_proposal(pixels, cells, not at) for at, cells in enumerate(readings[: _MOST_OTHERS + 1])]
    seen = list(proposals[0][1])
    if best.cut:
        seen.insert(0, "the picture's edge cuts through its outermost cells, which are taken as whole ones")
    others = tuple(proposal for proposal, _ in proposals[1:])
    return _Outcome(proposals[0][0], others, True, tuple(seen), best.cut)


def _exact_proposal(pixels: NDArray[np.uint8], cells: Cells, best: bool) -> tuple[Proposal, tuple[str, ...]]:
    height, width = pixels.shape[:2]
    taken = pixels[np.ix_(cells.rows.starts(height), cells.columns.starts(width))]
    opaque = taken[..., 3] >= OPAQUE
    rgb = np.ascontiguousarray(taken[..., :3])
    around = _page_around(pixels, cells) if opaque.all() else None
    filled, how = set_aside(rgb, None if opaque.all() else opaque, running=rgb if best else None, around=around)
    rows, columns = cells.rows, cells.columns
    corners = (
        (columns.offset, rows.offset),
        (columns.offset + columns.count * columns.pitch, rows.offset),
        (columns.offset + columns.count * columns.pitch, rows.offset + rows.count * rows.pitch),
        (columns.offset, rows.offset + rows.count * rows.pitch),
    )
    kind = "native" if rows.pitch == 1 == columns.pitch else "scaled"
    return Proposal(PictureGrid(rgb, filled), Lattice(corners, rows.count, columns.count), kind), how


def _page_around(pixels: NDArray[np.uint8], cells: Cells) -> NDArray[np.uint8] | None:
    """The one colour of all that lies outside of the cells; None where nothing does, or more than one colour."""
    rows, columns = cells.rows, cells.columns
    top, left = max(0, round(rows.offset)), max(0, round(columns.offset))
    bottom = round(rows.offset + rows.count * rows.pitch)
    right = round(columns.offset + columns.count * columns.pitch)
    strips = (pixels[:top], pixels[bottom:], pixels[:, :left], pixels[:, right:])
    outside = [strip.reshape(-1, 4) for strip in strips if strip.size]
    if not outside or any((strip != outside[0][0]).any() for strip in outside):
        return None
    return outside[0][0, :3]


def _proposal(working: Working, found: Found, best: bool) -> tuple[Proposal, tuple[str, ...]]:
    colours, left = read_cells(working.values, found.rows, found.columns, found.shape)
    opaque = None
    if working.clear:
        opaque = colours[..., 3] >= OPAQUE
        colours = colours[..., :3] * (255 / np.maximum(colours[..., 3:], 1))
        colours[~opaque] = 0
    if best:
        rgb, running = cleaned_colours(colours, opaque)
        filled, how = set_aside(rgb, opaque, drift=drift_of(left), running=running)
        if opaque is None and (working.turned or not found.fills):
            inner = rectangle_in_frame(filled)
            if inner is not None:
                return _framed(working, found, rgb, running, drift_of(left), inner)
    else:
        # A runner-up is shown as it was read.
        rgb = np.clip(np.rint(colours), 0, 255).astype(np.uint8)
        filled, how = set_aside(rgb, opaque, drift=drift_of(left), running=None)
    return Proposal(PictureGrid(rgb, filled), _lattice(working, found), _kind(working)), how


def _framed(
    working: Working, found: Found, rgb: NDArray[np.uint8], running: Floats, drift: float, inner: tuple[slice, slice]
) -> tuple[Proposal, tuple[str, ...]]:
    """The picture in a frame of one colour, the frame left out and background sought again in what it frames."""
    rows, columns = inner
    rgb = np.ascontiguousarray(rgb[inner])
    filled, how = set_aside(rgb, None, drift=drift, running=running[inner])
    lattice = _lattice(working, found).extended(
        top=-rows.start,
        bottom=rows.stop - found.rows.count,
        left=-columns.start,
        right=columns.stop - found.columns.count,
    )
    return Proposal(PictureGrid(rgb, filled), lattice, _kind(working)), ("the frame around it left out", *how)


def _kind(working: Working) -> str:
    return "turned" if working.turned else "resampled"


def _lattice(working: Working, found: Found) -> Lattice:
    lattice = Lattice.upright(
        found.columns.offset,
        found.rows.offset,
        found.columns.pitch,
        found.rows.pitch,
        rows=found.rows.count,
        columns=found.columns.count,
    )
    one, two, three, four = (working.on_picture(*corner) for corner in lattice.corners)
    return Lattice((one, two, three, four), lattice.rows, lattice.columns)
