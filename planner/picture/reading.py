"""The grid in a picture: first as one that explains it to the last pixel, else as the one that explains it best."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from planner.pattern import LARGEST_SIDE
from planner.picture.channels import largest
from planner.picture.charts import LEAST_SCORE, ChartFound, find_charts, lies_on_cells
from planner.picture.choosing import Found, in_order, turned_grids, upright_grids
from planner.picture.decode import Decoded, PictureError, decode, too_much_memory
from planner.picture.exact_cells import Cells, Codes
from planner.picture.grid import OPAQUE, NoGrid, PictureGrid, Proposal, Reading
from planner.picture.lattice import Lattice
from planner.picture.lossless import exact_readings
from planner.picture.proposing import Proposed, chart_proposal, drawn_proposal, exact_proposal, lattice_of
from planner.picture.runners_up import MOST, with_runners_up
from planner.picture.smeared import is_smeared
from planner.picture.working import Working, working_copy

# What an exact reading of uneven cells that fill the picture must save over one pixel a cell, in nats, to be believed
# at once. Settled by trial: of 1328 pictures of one pixel a cell two save up to 1.9.
_EXACT_SAVES = 2.0
# A picture of one pixel a cell wears few colours; with so few or fewer a blurred grid must stand out more to be seen in
# it. Settled by trial on the development set, as are both marks.
_FEW_COLOURS = 64
_STANDS_OUT_OF_FEW, _STANDS_OUT_OF_MANY = 0.9, 0.5
# Cells of so many pixels are hardly ever seen in such a picture: of 50 none stood out by a tenth.
_CLEARLY_ENLARGED = 4.0
_STANDS_OUT_AT_ALL = 0.3
# A picture that changes in so many places a side, and never within so many pixels, is not one of a pixel a cell.
_MANY_CHANGES, _APART = 8, 3
# Glass and shadows are drawn half clear, by no more degrees than so many.
_DEGREES = 8
# So many lone pixels, each on a ground of one other colour, are drawn: an enlarged picture has none.
_LONE = 6
# A colour so many levels of 255 off all those of the picture is mixed of them.
_MIXED = 8
# So many of all steps of colour go on over the next pixel where a picture was blurred.
_BETWEEN, _IN_FLAT_COLOURS = 0.2, 16
# What is explained but for such a mean square is so but for what rounding does; fewer pixels than that are alike beside
# one another where noise of half a level and more scatters them.
_EXPLAINED, _ALIKE = 1.0, 0.1
# Where cells begin was rounded by so many pixels, or is known to such a part of a cell.
_ROUNDED, _PART = 1.0, 0.2
# In cells of so many pixels one more is told from the next cell.
_A_PIXEL_BETWEEN = 4.0
# So many may lie elsewhere yet, where the cells are not known that well.
_SOME = 0.25
# In fewer pixels no blurred grid is looked for: they would hold next to no cells. Where a picture shows that it was
# smoothed, so many do.
_LEAST_SIDE, _LEAST_SMOOTHED = 30, 24
# Where a smooth filter enlarged a picture k times, all steps from pixel to pixel come to k / 2 times all changes from
# one step to the next. Lines one pixel wide that were enlarged by up to five are still sought: of 98 charts, lossy and
# photographed ones among them, none came to less than 1. One line of so many is asked.
_BENDS_OF_LINES, _EACH_OF = 0.35, 4
# A chart of this score is one, whatever else the picture might be.
_CHART_FOR_SURE = 0.85
# Settled by trial: of four charts with doubtful lines the best cells stood out by 1.1, of twelve drawings without lines
# whose cells met doubtful ones the least by 1.7.
_LINES_UNEXPLAINED = 1.3
# In a plaid of one pixel a cell threads cross each so many pixels or fewer, some few times.
_WOVEN_CELLS, _WOVEN_PITCH = 8, 8.0
# With fewer cells a side than this no cell is as narrow as a line between others.
_MANY_CELLS = 40
# Lines as wide as cells lie at least so many cells apart.
_LINES_APART = 3.0
# A chart turned by fewer degrees is upright.
_UPRIGHT = 0.2
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
        with_runners_up(decoded.image, best, outcome.others, sure=outcome.sure),
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
        whole = not best.framed and (best.even or native.nats - best.leaves >= _EXACT_SAVES)
        # Enlarged a second time, by a filter, a picture changes only beside the places where its cells meet; these
        # repeat themselves as cells of a pixel or two do, but run into one another.
        blurred = best.small and not best.even and (_runs_together(pixels, best) or _smeared(decoded))
        if best.cut or ((best.believed or whole) and not blurred):
            return _chart_of(decoded, best) or _exact(pixels, fits)
    if fits and fits[-1] is native:
        # What is not believed comes after one pixel a cell.
        fits = [native, *fits[:-1]]
    opaque = bool((pixels[..., 3] >= OPAQUE).all())
    softly = not opaque and _softly_covered(decoded.image)
    # Only small cells may be those of something smoothed, so that no large picture is looked through.
    smeared = bool(fits) and fits[0].small and not softly and _smeared(decoded)
    few = bool(fits) and not softly and not smeared and len(np.unique(codes)) <= _FEW_COLOURS
    coarse = bool(fits) and _changes_lie_apart(codes)
    scattered = decoded.lossless and _scattered(codes)
    if few and decoded.lossless and fits[0] is native and _lone_pixels(codes) >= _LONE:
        return _exact(pixels, fits)
    if not fits:
        # A large picture is held only once from here on.
        del pixels, codes
    plain, ratio = _plain_copy(decoded.image) if opaque else (None, 1.0)
    found = [_enlarged(chart, ratio) for chart in _charts_on(np.asarray(plain))] if plain else []
    charts = [chart for chart in found if chart.score >= LEAST_SCORE]
    if few and charts and _may_be_woven(charts[0]):
        charts, found = [], [chart for chart in found if not _may_be_woven(chart)]
    surely = bool(charts) and charts[0].score >= _CHART_FOR_SURE
    if surely and charts[0].all_ruled:
        return _charted(charts, decoded.lossless)
    working = working_copy(decoded.image, decoded.shares, decoded.tables)
    candidates: list[tuple[Found, Working]] = []
    if min(working.values.shape[:2]) >= (_LEAST_SMOOTHED if softly or smeared else _LEAST_SIDE):
        candidates = [(one, working) for one in upright_grids(working)]
        if plain:
            turned = turned_grids(plain, working, [one for one, _ in candidates])
            candidates = in_order(candidates, turned)
    if surely and not (candidates and candidates[0][0].stands_out >= _LINES_UNEXPLAINED):
        return _charted(charts, decoded.lossless)
    if not candidates or candidates[0][0].stands_out < _needed(candidates[0][0], few, bool(fits) and not coarse):
        if fits:
            # At one pixel a cell for want of better, a picture of many colours may as well be a small photo.
            return _exact(pixels, fits, sure=few and decoded.lossless and not coarse)
        if found:
            return _charted(charts or found[:1], decoded.lossless)
        raise _no_grid(readings, width, height)
    if found and _between_lines(candidates[0], found[0]):
        return _charted(found[:1], decoded.lossless)
    proposed = [
        drawn_proposal(copy, one, not at, lossless=decoded.lossless, scattered=scattered)
        for at, (one, copy) in enumerate(candidates[: MOST + 1])
    ]
    # Lines that are in doubt are offered all the same.
    proposed[1:1] = [chart_proposal(chart, decoded.lossless) for chart in found[:2]]
    outcome = _outcome(proposed)
    if few and decoded.lossless and candidates[0][1].turned is None:
        # In more colours than so many a ground may run in bands of its own.
        unmixed = len(np.unique(codes)) <= _IN_FLAT_COLOURS and _unmixed(pixels)
        if not _begins_cells(outcome.best.lattice, codes, unmixed):
            # What was blurred wears mixed colours, what was not changes where cells begin: this is neither.
            as_it_is = _exact(pixels, fits, sure=False)
            return replace(as_it_is, others=(outcome.best, *as_it_is.others)[:MOST])
        if unmixed and proposed[0].left > _EXPLAINED:
            # Enlarged in one step it would be explained to the last pixel, and in two all but to that.
            return replace(outcome, sure=False)
    # In so few colours nothing was blurred that cells of a pixel or two may explain.
    exact = few and any(cells.in_doubt for cells in fits) and len(np.unique(codes)) <= _IN_FLAT_COLOURS
    doubtful = exact or (few and _mixes(outcome.best.grid, pixels))
    return replace(outcome, sure=False) if doubtful else outcome


def _may_be_woven(chart: ChartFound) -> bool:
    """Whether a chart is of so few and such small cells that a picture of one pixel a cell may be woven so."""
    return max(chart.lattice.rows, chart.lattice.columns) < _WOVEN_CELLS and chart.lattice.pitch < _WOVEN_PITCH


def _between_lines(candidate: tuple[Found, Working], chart: ChartFound) -> bool:
    """Whether the cells of the best grid lie between the lines of a chart that is not sure by itself, and leave so much
    unexplained as cells do that are drawn with lines between."""
    one, copy = candidate
    return one.stands_out < _LINES_UNEXPLAINED and lies_on_cells(chart.lattice, lattice_of(copy, one))


def _smeared(decoded: Decoded) -> bool:
    """Whether a picture was smoothed, with what is clear weighed by its cover, as a filter weighs it."""
    return is_smeared(np.asarray(decoded.image.convert("RGBa")))


def _softly_covered(image: Image.Image) -> bool:
    """Whether what is drawn goes over into what is clear by degrees, as a smooth filter makes it."""
    return sum(many > 0 for many in image.getchannel("A").histogram()[1:-1]) > _DEGREES


def _scattered(codes: Codes) -> bool:
    """Whether hardly two pixels side by side are alike, as in a photograph."""
    alike = codes[:, 1:] == codes[:, :-1]
    return bool(alike.sum() < _ALIKE * alike.size)


def _unmixed(pixels: NDArray[np.uint8]) -> bool:
    """Whether colours hardly ever run into one another over a pixel in between: nothing was blurred."""
    (steps, between), (more, others) = _steps_between(pixels), _steps_between(pixels.transpose(1, 0, 2))
    return between + others < _BETWEEN * (steps + more)


def _steps_between(pixels: NDArray[np.uint8]) -> tuple[int, int]:
    """How many steps of colour there are along the rows of pixels, and how many of them go on over the next pixel."""
    values = pixels.astype(np.int16)
    step = values[:, 1:] - values[:, :-1]
    changes = (step != 0).any(axis=2)
    on = (step[:, 1:] * step[:, :-1] >= 0).all(axis=2) & changes[:, 1:] & changes[:, :-1]
    return int(changes.sum()), int(on.sum())


def _runs_together(pixels: NDArray[np.uint8], cells: Cells) -> bool:
    """Whether the cells of an exact reading wear many colours that run into one another both ways; one way only a sky
    may be drawn so."""
    height, width = pixels.shape[:2]
    taken = pixels[np.ix_(cells.rows.middles(height), cells.columns.middles(width))]
    if len(np.unique(taken.reshape(-1, 4), axis=0)) <= _IN_FLAT_COLOURS:
        return False
    ways = (_steps_between(taken), _steps_between(taken.transpose(1, 0, 2)))
    return all(between >= _BETWEEN * steps for steps, between in ways)


def _mixes(grid: PictureGrid, pixels: NDArray[np.uint8]) -> bool:
    """Whether cells of a picture of few colours wear one that none of its pixels has, mixed of those beside it."""
    drawn = np.unique(pixels[..., :3].reshape(-1, 3), axis=0).astype(np.int16)
    cells = grid.rgb[grid.filled].astype(np.int16)
    return bool((largest(np.abs(cells[:, None] - drawn[None])).min(axis=1) > _MIXED).any())


def _begins_cells(lattice: Lattice, codes: Codes, unmixed: bool) -> bool:
    """Whether a picture changes only where the cells of an upright grid begin or end, give or take rounding; one that
    changes in more places than there are cells is blurred, if it is not ``unmixed``."""
    (left, top), (right, _), _, (_, bottom) = lattice.corners
    for axis, start, end, count in ((0, top, bottom, lattice.rows), (1, left, right, lattice.columns)):
        places = np.flatnonzero((np.diff(codes.astype(np.int64), axis=axis) != 0).any(axis=1 - axis)) + 1
        pitch = (end - start) / count
        steps = (places - start) / pitch
        off = np.abs(steps - np.rint(steps)) * pitch > max(_ROUNDED, _PART * pitch)
        # Made smaller by a box, cells have a pixel of both between them.
        most = 2 * count + 1 if pitch >= _A_PIXEL_BETWEEN else count + 1
        if unmixed and (len(places) > most or off.any()):
            return False
        if 0 < len(places) <= count and off.mean() > _SOME:
            return False
    return True


def _outcome(proposed: list[Proposed]) -> _Outcome:
    best, *others = proposed
    return _Outcome(best.proposal, tuple(other.proposal for other in others), best.plain, best.seen)


def _chart_of(decoded: Decoded, exact: Cells) -> _Outcome | None:
    """A chart whose ruled lines are as wide as the cells of an exact reading; None where there is none."""
    if max(exact.rows.count, exact.columns.count) < _MANY_CELLS or decoded.image.getchannel("A").getextrema()[0] != 255:
        return None
    plain, ratio = _plain_copy(decoded.image)
    charts = [_enlarged(chart, ratio) for chart in find_charts(np.asarray(plain))]
    # Nothing drawn to the pixel stands askew.
    charts = [chart for chart in charts if abs(chart.lattice.turn) < _UPRIGHT]
    if not charts or charts[0].score < _CHART_FOR_SURE or charts[0].lattice.pitch < _LINES_APART * exact.rows.pitch:
        return None
    return _charted(charts, decoded.lossless)


def _charts_on(plain: NDArray[np.uint8]) -> list[ChartFound]:
    """The charts on a picture, doubtful ones among them; none is looked for where a smooth filter left no line."""
    steps = bends = 0.0
    for lines in (plain[::_EACH_OF].astype(np.int16), plain[:, ::_EACH_OF].transpose(1, 0, 2).astype(np.int16)):
        step = np.diff(lines, axis=1)
        steps += float(np.abs(step).sum())
        bends += float(np.abs(np.diff(step, axis=1)).sum())
    return [] if bends < _BENDS_OF_LINES * steps else find_charts(plain, doubtful=True)


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


def _changes_lie_apart(codes: Codes) -> bool:
    """Whether a small picture, though it changes in many places, changes nowhere in two rows or columns of pixels next
    to one another or next but one: at one pixel a cell a drawing is finer than that."""
    for axis in (0, 1):
        places = np.flatnonzero((np.diff(codes.astype(np.int64), axis=axis) != 0).any(axis=1 - axis))
        if len(places) < _MANY_CHANGES or np.diff(places).min() < _APART:
            return False
    return True


def _lone_pixels(codes: Codes) -> int:
    """How many pixels lie between four that are all of one other colour."""
    middle, above, left = codes[1:-1, 1:-1], codes[:-2, 1:-1], codes[1:-1, :-2]
    alike = (above == codes[2:, 1:-1]) & (above == left) & (above == codes[1:-1, 2:])
    return int((alike & (middle != above)).sum())


def _needed(found: Found, few: bool, fits: bool) -> float:
    """How far a grid must stand out to be believed, most where the picture may be one of a pixel a cell."""
    if not fits or found.rows.pitch >= _CLEARLY_ENLARGED:
        return _STANDS_OUT_AT_ALL
    return _STANDS_OUT_OF_FEW if few else _STANDS_OUT_OF_MANY


def _charted(charts: list[ChartFound], lossless: bool) -> _Outcome:
    outcome = _outcome([chart_proposal(chart, lossless) for chart in charts[: MOST + 1]])
    return replace(outcome, lines=charts[0].lines)


def _no_grid(readings: list[Cells], width: int, height: int) -> NoGrid:
    cells = readings[0]
    if cells.rows.pitch <= 1:
        read = "No grid of cells is to be seen in the picture. Read at one pixel a cell"
    else:
        read = f"Read at {cells.rows.pitch:g} pixels a cell"
    return NoGrid(
        f"{read} the picture is {cells.columns.count} cells wide and {cells.rows.count} high; "
        f"the largest side is {LARGEST_SIDE}.",
        mend=_REDUCE,
        width_px=width,
        height_px=height,
    )


def _exact(pixels: NDArray[np.uint8], readings: list[Cells], *, sure: bool = True) -> _Outcome:
    sure = sure and not any(readings[0].rivals(other) for other in readings[1:])
    shown = readings[: MOST + 1]
    if not sure and len(readings) > MOST + 1:
        # One pixel a cell, the last, is never out of the question.
        shown[-1] = readings[-1]
    outcome = _outcome([exact_proposal(pixels, cells, not at) for at, cells in enumerate(shown)])
    if not sure:
        outcome = replace(outcome, sure=False)
    if not readings[0].cut:
        return outcome
    cut = "the picture's edge cuts through its outermost cells, which are taken as whole ones"
    return replace(outcome, seen=(cut, *outcome.seen), cut=True)
