"""The outermost rows and columns of a frame looked at once more, where votes alone mislead.

Numerals that stand in a row beside the chart, one to a cell, feign lines across that row; but the row has no line on
its far side and a plain one on its near side. And rows so dark that no line is seen on them are rows all the same
where they look nothing like the page beside them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Pieces, Sheet

Bounds = tuple[int, int, int, int]

# A row of numerals shows fewer of the lines that cross it than this part of what the rows further in show, of its far
# line next to nothing, and of its near line nearly all.
_FEWER, _NO_LINE, _A_LINE = 0.8, 0.3, 0.75
# So many of its cells look like those beyond, to within the levels below.
_ON_PAGE = 0.6
# Cells with a numeral in them differ inside by more than so many levels in the mean. Where most do by more than so many
# levels and so many times what the cells of the frame do, they need no line to tell them.
_UNEVEN = 8.0
_LEAST_UNEVEN, _TIMES_UNEVEN, _MOST_UNEVEN = 4.0, 3.0, 0.7
# A row is none where so many of its cells go on beyond it, and it shows no more of the lines that cross it than this
# part of what the rows further in show; so many rows are left out at most.
_GOES_ON, _FEW_LINES, _MOST_ROWS = 0.9, 0.4, 4
# Pieces of line that stand out by less than this part of what most do are faint.
_FAINT = 0.3
# Crossing lines that show less of themselves than this part of what they do in the rows further in are none, nor are
# those of cells with numerals that show so many times as much.
_WEAK, _STRONG = 0.5, 3.0
# Where a row of numerals lies half on a table, so few of the lines seem to be there.
_HALF = 0.5
# Of a row of page hardly any of the lines crossing it could be told and none is there, and so many of its cells go on
# beyond.
_HARDLY_TOLD, _NONE, _LIKE_PAGE = 0.2, 0.1, 0.8
# So many pieces it takes to judge a row.
_JUDGED = 4
# A dark row: at least so many of its cells differ from the page beside by so many levels of 255, and no more than so
# many pieces of line are missing that should be seen.
_DIFFERENT, _MISSING = 0.85, 0.2
# Different is what is so many levels off, and this part of the page's own level more, for light falls off by a part.
_FAR, _FALL = 12.0, 0.12
# Cells alike differ by no more than so many levels, uneven light included.
_LEVELS = 22.0


def settled(sheet: Sheet, bounds: Bounds) -> Bounds:
    """Top, bottom, left and right of a frame with rows of numerals left out and dark rows taken in."""
    top, bottom, left, right = bounds
    uneven = max(_LEAST_UNEVEN, _TIMES_UNEVEN * float(np.median(sheet.spread[top:bottom, left:right])))
    for turned in (False, True):
        crossing, parting = (sheet.level, sheet.upright) if turned else (sheet.upright, sheet.level)
        cells = (np.swapaxes(sheet.cells, 0, 1) if turned else sheet.cells).astype(np.float64)
        inside = sheet.inside.T if turned else sheet.inside
        spread = sheet.spread.T if turned else sheet.spread
        first, stop, start, end = (left, right, top, bottom) if turned else (top, bottom, left, right)
        marked = spread > uneven
        shown = _shown(sheet, crossing, cells)
        first = _inward(crossing, parting, cells, spread, marked, shown, first, 1, stop - first, (start, end))
        stop = _inward(crossing, parting, cells, spread, marked, shown, stop - 1, -1, stop - first, (start, end)) + 1
        pages = _pages(cells, inside, (first, stop, start, end))
        first = _outward(crossing, cells, inside, [*pages[1:]], first, -1, (start, end))
        stop = _outward(crossing, cells, inside, [pages[0], *pages[2:]], stop - 1, 1, (start, end)) + 1
        if turned:
            left, right = first, stop
        else:
            top, bottom = first, stop
    return top, bottom, left, right


def _shown(sheet: Sheet, crossing: Pieces, cells: Floats) -> Floats:
    """How much of what the ink lets expect each piece of the crossing lines shows, lines × cells; not a number where
    it could not be told."""
    across = cells.swapaxes(0, 1)
    before, after = np.concatenate([across[:1], across]), np.concatenate([across, across[-1:]])
    expected = sheet.ink.contrast(np.minimum(before, after), np.maximum(before, after))
    return np.where(crossing.told, crossing.weight / np.maximum(expected, sheet.noise), np.nan)


def _strength(shown: Floats) -> float:
    """The median of what pieces show; all that is due where too few could be told."""
    known = shown[np.isfinite(shown)]
    return float(np.median(known)) if len(known) >= _JUDGED else 1.0


def _share(pieces: Pieces, lines: int | slice, cells: int | slice) -> float | None:
    """How many of the pieces that can be told are there; None where too few can be."""
    told = pieces.told[lines, cells]
    count = int(told.sum())
    return float((pieces.there[lines, cells] & told).sum() / count) if count >= _JUDGED else None


def _plainly_there(crossing: Pieces, lines: slice, row: int, usual: float) -> float:
    """How many of the lines that cross a row stand out by as much as lines do, which the grain of a table does not."""
    return float((crossing.there[lines, row] & (crossing.weight[lines, row] >= _FAINT * usual)).mean())


def _inward(
    crossing: Pieces,
    parting: Pieces,
    cells: Floats,
    spread: Floats,
    marked: NDArray[np.bool_],
    shown: Floats,
    row: int,
    step: int,
    rows: int,
    across: tuple[int, int],
) -> int:
    """The first row from this side that is no row of numerals, nor of what goes on beyond the page; ``step`` leads into
    the frame."""
    start, end = across
    lines, along = slice(start, end + 1), slice(start, end)
    weights = crossing.weight[lines][crossing.there[lines]]
    usual = float(np.median(weights)) if len(weights) else 0.0
    for _ in range(_MOST_ROWS):
        if rows < 6:
            break
        # Numerals stand on the page, which goes on beyond them, and make cells uneven.
        like_page = np.zeros(end - start, dtype=np.bool_)
        if 0 <= row - step < len(cells):
            like_page = np.abs(cells[row, along] - cells[row - step, along]).max(axis=1) <= _LEVELS
        if (like_page | (spread[row, along] > _UNEVEN)).mean() < _ON_PAGE:
            break
        further = [_share(crossing, lines, row + step * k) for k in (1, 2, 3)]
        known = [share for share in further if share is not None]
        here = _share(crossing, lines, row)
        far, near = (row, row + 1) if step > 0 else (row + 1, row)
        beyond, between = _share(parting, far, along), _share(parting, near, along)
        # Strokes of numerals meet lines here and there, but show less of them than is to be expected over such cells,
        # or far more where the lines are faint.
        strength = [_strength(shown[start + 1 : end, row + step * k]) for k in (0, 1, 2, 3)]
        inner = float(np.median(strength[1:]))
        weak, strong = strength[0] < _WEAK * inner, strength[0] > _STRONG * inner
        uneven = marked[row, along].mean() >= _MOST_UNEVEN
        plainly = [_plainly_there(crossing, lines, row + step * k, usual) for k in (0, 1, 2, 3)]
        there = [float(crossing.there[start + 1 : end, row + step * k].mean()) for k in (0, 1, 2, 3)]
        on_page = like_page.mean() >= _ON_PAGE or not 0 <= row - step < len(cells)
        few = there[0] < (_FEWER if on_page else _HALF) * float(np.median(there[1:]))
        unparted = between is not None and between <= _NO_LINE
        # Where lines are not to be seen on the page, nothing but a far line speaks for a row of it.
        told = float(crossing.told[start + 1 : end, row].mean())
        unseen = told <= _HARDLY_TOLD and there[0] <= _NONE and like_page.mean() >= _LIKE_PAGE
        # A box around numerals, or their own feet, may be a line on their far side.
        if (beyond or 0.0) > _NO_LINE and not weak and not unseen and not (uneven and (strong or few or unparted)):
            break
        # The near line may be the chart's own last one.
        goes_on = like_page.mean() >= _GOES_ON and plainly[0] <= _FEW_LINES * float(np.median(plainly[1:]))
        if not goes_on and not weak and not unseen and not uneven:
            # So few are marked that the lines have to tell.
            if here is None or not known or beyond is None or between is None:
                break
            if here > _FEWER * float(np.median(known)) or between < _A_LINE:
                break
        row, rows = row + step, rows - 1
    return row


def _pages(cells: Floats, inside: NDArray[np.bool_], bounds: Bounds) -> list[list[Floats]]:
    """What lies beside the frame on each side (first row, last row, first column, last column): the middle colour of
    the cells next to it, and of those one further out."""
    first, stop, start, end = bounds
    found = []
    for cut_of in (
        lambda k: np.s_[first - k, start:end],
        lambda k: np.s_[stop - 1 + k, start:end],
        lambda k: np.s_[first:stop, start - k],
        lambda k: np.s_[first:stop, end - 1 + k],
    ):
        colours = []
        for k in (1, 2):
            cut = cut_of(k)
            place = next(part for part in cut if isinstance(part, int))
            size = cells.shape[0] if isinstance(cut[0], int) else cells.shape[1]
            if 0 <= place < size and inside[cut].any():
                colours.append(np.median(cells[cut][inside[cut]], axis=0))
        found.append(colours)
    return found


def _unlike(cells: Floats, page: Floats) -> float:
    """The share of cells that are plainly not of the page's colour."""
    return float((np.abs(cells - page).max(axis=1) > _FAR + _FALL * float(page.max())).mean())


def _outward(
    crossing: Pieces,
    cells: Floats,
    inside: NDArray[np.bool_],
    pages: list[list[Floats]],
    row: int,
    step: int,
    across: tuple[int, int],
) -> int:
    """The last row on the way out of the frame that looks nothing like the page beside it, nor like what lies on the
    ``pages`` of the other sides."""
    start, end = across
    width = cells.shape[1]
    beside = [k for k in (start - 3, start - 2, end + 1, end + 2) if 0 <= k < width]
    while 0 <= row + step < len(cells):
        out = row + step
        seen = [k for k in beside if inside[out, k]]
        if len(seen) < 2 or not inside[out, start:end].all():
            break
        here = cells[out, start:end]
        others = [cells[out, k] for k in seen] + [colour for side in pages for colour in side]
        if min(_unlike(here, other) for other in others) < _DIFFERENT:
            break
        missing = crossing.told[start : end + 1, out] & ~crossing.there[start : end + 1, out]
        if missing.mean() > _MISSING:
            break
        row = out
    return row
