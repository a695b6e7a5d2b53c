"""Charts found in a picture: where their cells lie, what lines rule them and what colour every cell is."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.charts.blanks import blanks_left_out
from planner.picture.charts.colours import colours_of, inner_medians
from planner.picture.charts.combs import LEAST_PITCH, Comb, best_combs
from planner.picture.charts.frame import Frame, find_frame
from planner.picture.charts.going_on import going_on
from planner.picture.charts.growing import grow
from planner.picture.charts.reaching import Bounds, reached
from planner.picture.charts.ridges import ridge_strips
from planner.picture.charts.sampling import Floats, Sampler, places
from planner.picture.charts.segments import Sheet, look, mean_pitch
from planner.picture.charts.words import lines_in_words
from planner.picture.lattice import Lattice

# Pixels a side under which no four cells with lines between them fit.
_LEAST_PIXELS = 24
# Larger pictures are searched at half their size, or a third: cells of a pattern of 200 then still have ten pixels, and
# lines of one pixel half of their contrast.
_MOST_PIXELS = 2100
# Lines too wide to be ridges are sought in the picture reduced by half, and by half again, down to so many pixels a
# side. A chart found among finer lines stands unless one of wider lines is surer by so much.
_LEAST_REDUCED, _SURER = 60, 0.03
# So many times the pitch of a chart that was found is no longer its own.
_EVERY_SECOND = 1.5
# Cells a side a map may show on the whole picture: twice a pattern's most, for a chart on a wide page.
_MOST_CELLS = 2 * LARGEST_SIDE
# Fewer rows or columns than these between lines are no chart but a table or a frame.
_LEAST_SIDE = 4
# What every chart shows, settled by trial on some three hundred charts and eight hundred drawings without lines. How
# many of its lines are there along half of their length, and how many of all its pieces of line.
_LEAST_EVEN, _LEAST_DRAWN, _PLAIN_DRAWN = 0.85, 0.36, 0.24
# A chart of fewer pieces of line than these must be a plain one and cover this much of its picture.
_FEW_PIECES, _COVERED = 80, 0.2
# Pieces of line between cells of one colour that are needed to go by these alone: so many, and so large a part.
_LEAST_FLATS, _LEAST_FLAT_PART, _MANY_FLAT_PART = 12, 0.1, 0.3
# Where there are fewer: how many of all pieces must be there, and of those that can be told; and how much at most may
# shine through, for what is nearly all shining through is no line.
_BUSY_DRAWN, _BUSY_SHARE, _BUSY_THROUGH = 0.5, 0.88, 0.8
# What is seen midway between the lines may come to this share of the lines' own contrast, numerals in cells included.
_BETWEEN = 0.42
# Cells more uneven inside than this share of the lines' contrast belong to an enlarged drawing.
_UNEVEN, _PLAIN_UNEVEN, _MARKED_UNEVEN, _AGREED = 0.2, 0.35, 0.7, 0.97
# Fewer need be there, as dark lines on dark cells are not, where all are that can be told, where what shines through
# says that they are ink, and where the cells between them are even and show next to nothing midway.
_ALL_DRAWN, _ALL_SHARE, _INK_THROUGH, _EVEN_BETWEEN, _NOTHING_MIDWAY = 0.2, 0.97, 0.75, 0.3, 0.03
# And of cells as even as this fewer lines need be there.
_CLEAN, _CLEAN_EVEN = 0.08, 0.78
# In doubt is what shows so many of its lines, of all and of those that can be told; it scores so much of the latter.
_MAYBE_DRAWN, _MAYBE_SHARE, _MAYBE = 0.45, 0.75, 0.5
# Or else so many of all, and so many of those between cells of one colour.
_FEWER_DRAWN, _SURER_SHARE = 0.2, 0.85
# Scores under this are not offered but as doubtful, from the other one on no other comb is tried.
LEAST_SCORE, _SURE = 0.55, 0.7
# Under this it is asked whether lines are drawn round the filled cells only.
_PLAINLY = 0.93
# Of charts met with the wrong comb at least this share of the pieces between cells of one colour shows a line.
_SOME_LINES = 0.2
# How many pairs of combs are followed up at most.
_TRIED = 4
# Combs of so few pixels may be of the grain of a photograph, and say nothing of others.
_GRAIN = 1.25 * LEAST_PITCH
# Twice the pitch, but for such a part.
_NEARLY = 0.03
# So many cells of the middle are looked at by themselves, and count where they are worth so many times what all is, and
# so much.
_MIDDLE, _FAR_MORE, _WORTH = 12, 2.0, 0.15


@dataclass(frozen=True, slots=True)
class ChartFound:
    """A chart: its ``lattice``, its ``lines`` in words, a ``score`` from 0 to 1 that compares it with other charts, the
    colours of its cells, rows × columns × 3, the colour of its paper, where paper was seen, ``drift``, by how many
    levels of 255 cells of one colour were seen to differ, and whether ``all_ruled``: it goes no further than lines are
    seen."""

    lattice: Lattice
    lines: str
    score: float
    rgb: NDArray[np.uint8]
    paper: NDArray[np.uint8] | None
    drift: float
    all_ruled: bool = True


def find_charts(rgb: NDArray[np.uint8], doubtful: bool = False) -> list[ChartFound]:
    """The charts a picture (height × width × 3) may hold, best first; none where it shows no ruled lines. After them,
    with ``doubtful``, those of a score below ``LEAST_SCORE``: lines that are a chart's only if something else says so.

    >>> picture = np.full((120, 120, 3), 255, dtype=np.uint8)
    >>> picture[20:101:10, 20:101] = picture[20:101, 20:101:10] = 120
    >>> [(chart.lattice.rows, chart.lattice.columns) for chart in find_charts(picture)]
    [(8, 8)]
    """
    if min(rgb.shape[:2]) < _LEAST_PIXELS:
        return []
    times = -(-max(rgb.shape[:2]) // _MOST_PIXELS)
    if times > 1:
        rgb = _reduced(rgb, times)
    found: list[tuple[float, ChartFound]] = []
    while True:
        charts = _charts_in(rgb, times)
        # Lines of twice the pitch, and further, are every second one of those that were found.
        met = [chart.lattice.pitch for _, chart in found if chart.score >= LEAST_SCORE]
        charts = [chart for chart in charts if all(chart.lattice.pitch < _EVERY_SECOND * pitch for pitch in met)]
        found += [(chart.score - _SURER * len(found), chart) for chart in charts]
        if max((chart.score for _, chart in found), default=0.0) >= _PLAINLY or min(rgb.shape[:2]) < 2 * _LEAST_REDUCED:
            break
        rgb, times = _reduced(rgb, 2), times * 2
    charts = [chart for _, chart in sorted(found, key=lambda one: -one[0])]
    likely = [chart for chart in charts if chart.score >= LEAST_SCORE]
    return likely + [chart for chart in charts if doubtful and chart.score < LEAST_SCORE]


def _charts_in(rgb: NDArray[np.uint8], times: int) -> list[ChartFound]:
    """Those whose lines are a few pixels wide at this size, ``times`` smaller than the picture."""
    pairs = _pairs(rgb)
    if not pairs:
        return []
    picture = Sampler.of(rgb)
    found = _met(picture, pairs, times)
    if times == 1 and max((chart.score for chart in found), default=0.0) < LEAST_SCORE:
        found += _met(picture, _pairs_in_the_middle(rgb, pairs[0]), times)
    return found


def _met(picture: Sampler, pairs: list[tuple[Comb, Comb]], times: int) -> list[ChartFound]:
    """The charts that combs lead to."""
    found: list[ChartFound] = []
    waiting = pairs[:_TRIED]
    while waiting:
        upright, level = waiting.pop(0)
        to_cells = grow(picture, upright, level)
        sheet = None if to_cells is None else look(picture, to_cells, _MOST_CELLS)
        if to_cells is None or sheet is None:
            continue
        frame = find_frame(sheet)
        if frame is None and min(upright.pitch, level.pitch) < _GRAIN:
            continue
        if frame is None:
            break
        score = _score(sheet, frame)
        met = frame.flats >= _LEAST_FLATS and frame.flat >= _SOME_LINES
        # Where many blank cells lie among the others, lines that spare them are missing all over.
        if score < _PLAINLY and (met or frame.drawn >= _BUSY_DRAWN):
            sheet, frame, score = _spared(sheet, frame, score)
        if score < LEAST_SCORE:
            score = _MAYBE * frame.share if _may_be_one(sheet, frame) else 0.0
        if score:
            charts = _charts_of(picture, to_cells, sheet, frame, score, times)
            found += [chart for chart in charts if max(chart.rgb.shape) <= LARGEST_SIDE]
        if score >= _SURE:
            break
        # A comb of half or double the pitch still meets many lines; where none are met there are none, but for those
        # twice as far apart that are drawn here and there only.
        if not met:
            waiting = [pair for pair in pairs if _twice(pair, (upright, level))]
    return found


def _pairs_in_the_middle(rgb: NDArray[np.uint8], whole: tuple[Comb, Comb]) -> list[tuple[Comb, Comb]]:
    """Combs of the middle of a picture where they are worth far more than those of all of it: over many cells of a page
    seen askew no even comb meets its lines."""
    side = round(_MIDDLE * max(comb.pitch for comb in whole))
    top, left = ((length - side) // 2 for length in rgb.shape[:2])
    if min(top, left) < side // 4:
        return []
    pairs = _pairs(rgb[top : top + side, left : left + side])
    least = max(_FAR_MORE * _worth(whole), _WORTH)
    return [(a.moved(left, top), b.moved(top, left)) for a, b in pairs if _worth((a, b)) >= least][:1]


def _worth(pair: tuple[Comb, Comb]) -> float:
    return pair[0].worth * pair[1].worth


def _twice(pair: tuple[Comb, Comb], other: tuple[Comb, Comb]) -> bool:
    return all(abs(one.pitch / (2 * half.pitch) - 1) <= _NEARLY for one, half in zip(pair, other, strict=True))


def _spared(sheet: Sheet, frame: Frame, score: float) -> tuple[Sheet, Frame, float]:
    """The same, or the sheet with no lines looked for between blank cells, its frame and score, if that is surer."""
    filled = blanks_left_out(sheet, frame)
    better = find_frame(filled, spares_blanks=True) if filled is not None else None
    if filled is None or better is None or _score(filled, better) <= score:
        return sheet, frame, score
    return filled, better, _score(filled, better)


def _reduced(rgb: NDArray[np.uint8], times: int) -> NDArray[np.uint8]:
    """The picture with the mean of ``times`` × ``times`` pixels in place of each; what is over at the far sides is left
    out."""
    height, width = (side // times * times for side in rgb.shape[:2])
    total = np.zeros((height // times, width // times, 3), dtype=np.uint16)
    for row in range(times):
        for column in range(times):
            total += rgb[row:height:times, column:width:times]
    return np.asarray((total + times * times // 2) // (times * times), dtype=np.uint8)


def _pairs(rgb: NDArray[np.uint8]) -> list[tuple[Comb, Comb]]:
    """Combs of upright and of level lines about equally far apart, the likeliest first: cells are square, or nearly so
    where a picture was stretched or photographed."""
    combs = []
    for upright in (True, False):
        strips, each = ridge_strips(rgb, upright)
        combs.append(best_combs(strips, each, 0.0, 0.0, 4))
        if not combs[-1]:
            return []
    pairs = [(a, b) for a in combs[0] for b in combs[1] if 0.85 < a.pitch / b.pitch < 1.18]
    return sorted(pairs, key=lambda pair: -_worth(pair))


def _score(sheet: Sheet, frame: Frame) -> float:
    """How surely the frame is one of ruled lines, 0 to 1."""
    # In even cells lines that blur has nearly wiped out here and there are still no accident.
    clean = frame.flats >= _MANY_FLAT_PART * frame.pieces and frame.spread <= _CLEAN * frame.contrast
    if min(frame.rows, frame.columns) < _LEAST_SIDE or frame.even < (_CLEAN_EVEN if clean else _LEAST_EVEN):
        return 0.0
    # Where next to nothing contradicts the lines, fewer of them and fainter ones will do.
    many = frame.flats >= _MANY_FLAT_PART * frame.pieces
    inked = many or sheet.ink.through <= _BUSY_THROUGH
    plain = inked and frame.even >= 0.95 and min(frame.flat, frame.share) >= 0.85
    all_told = plain and frame.flats >= _LEAST_FLATS and min(frame.flat, frame.share, frame.even) >= _ALL_SHARE
    least = _ALL_DRAWN if all_told else _PLAIN_DRAWN if plain or _inked_throughout(sheet, frame) else _LEAST_DRAWN
    if frame.drawn < least:
        return 0.0
    covered = frame.rows * frame.columns / max(1, int(sheet.inside.sum()))
    if frame.pieces < _FEW_PIECES and not (plain and covered >= _COVERED):
        return 0.0
    # What is as strong midway between the lines as on them is a pattern of its own, such as a wall of bricks.
    if sheet.between > _BETWEEN * frame.contrast > 0:
        return 0.0
    # Between cells of one colour lines stand where nothing else can; a drawing has few such by chance.
    if frame.flats < max(_LEAST_FLATS, (0 if plain else _LEAST_FLAT_PART) * frame.pieces):
        if not (_inked_throughout(sheet, frame) or _busily_drawn(sheet, frame)):
            return 0.0
        # Few as they are, they gainsay lines that are met everywhere but there.
        if frame.flats >= _LEAST_FLATS and frame.flat < _SOME_LINES:
            return 0.0
        # What stands out no more than its cells are uneven inside is part of a drawing.
        if frame.spread > _MARKED_UNEVEN * frame.contrast:
            return 0.0
        share = frame.share
    else:
        share = frame.flat
        # Enlarged by a smoothing filter, a drawing shows ridges of its own, but then its cells are uneven inside.
        # Where many pieces agree it is noise, or signs printed in the cells, that makes them uneven.
        marked = many and min(frame.flat, frame.share) >= _AGREED
        if frame.spread > (_MARKED_UNEVEN if marked else _PLAIN_UNEVEN if plain and many else _UNEVEN) * frame.contrast:
            return 0.0
    return max(0.0, share - 0.3 * sheet.false_share)


def _busily_drawn(sheet: Sheet, frame: Frame) -> bool:
    return frame.share >= _BUSY_SHARE and frame.drawn >= _BUSY_DRAWN and sheet.ink.through <= _BUSY_THROUGH


def _inked_throughout(sheet: Sheet, frame: Frame) -> bool:
    midway = float(sheet.midway[frame.top : frame.bottom, frame.left : frame.right].mean())
    empty = midway <= _NOTHING_MIDWAY and frame.spread <= _EVEN_BETWEEN * frame.contrast
    return (
        empty
        and min(frame.share, frame.even) >= _ALL_SHARE
        and frame.drawn >= _ALL_DRAWN
        and sheet.ink.through <= _INK_THROUGH
    )


def _may_be_one(sheet: Sheet, frame: Frame) -> bool:
    """Whether lines are met that would be a chart's if cells were found to lie between them."""
    many = frame.drawn >= _MAYBE_DRAWN and frame.share >= _MAYBE_SHARE
    surely = frame.drawn >= _FEWER_DRAWN and min(frame.share, frame.flat) >= _SURER_SHARE
    lines = frame.even >= _LEAST_EVEN and (many or surely)
    plain = max(sheet.between / _BETWEEN, frame.spread / _PLAIN_UNEVEN) <= frame.contrast
    return lines and plain and min(frame.rows, frame.columns) >= _LEAST_SIDE


def _charts_of(
    picture: Sampler, to_cells: Floats, sheet: Sheet, frame: Frame, score: float, times: int
) -> list[ChartFound]:
    """The chart of a frame; where its drawing goes on beyond the lines that are seen, first that of all of it."""
    within, plain = reached(sheet, frame)
    ruled = _at(frame, within)
    bounds = going_on(sheet, ruled)
    if bounds is None:
        return [replace(_chart(picture, to_cells, sheet, ruled, score, times), all_ruled=plain)]
    whole = replace(_chart(picture, to_cells, sheet, _at(frame, bounds), score, times), all_ruled=False)
    if bounds == (ruled.top, ruled.bottom, ruled.left, ruled.right):
        return [whole]
    return [whole, replace(_chart(picture, to_cells, sheet, ruled, score, times), all_ruled=False)]


def _at(frame: Frame, bounds: Bounds) -> Frame:
    top, bottom, left, right = bounds
    return replace(frame, top=top, bottom=bottom, left=left, right=right)


def _chart(picture: Sampler, to_cells: Floats, sheet: Sheet, frame: Frame, score: float, times: int) -> ChartFound:
    to_pixels = np.linalg.inv(to_cells)
    left, top = frame.left + sheet.left, frame.top + sheet.top
    right, bottom = left + frame.columns, top + frame.rows
    x, y = places(to_pixels, np.array([left, right, right, left]), np.array([top, top, bottom, bottom]))
    corners = [(float(a) * times, float(b) * times) for a, b in zip(x, y, strict=True)]
    lattice = Lattice((corners[0], corners[1], corners[2], corners[3]), frame.rows, frame.columns)
    pitch = mean_pitch(to_pixels, (left + right) / 2, (top + bottom) / 2)
    colours, paper, drift = colours_of(
        inner_medians(picture, to_pixels, left, top, frame.rows, frame.columns), sheet, frame
    )
    return ChartFound(lattice, lines_in_words(sheet, frame, pitch), score, colours, paper, drift)
