"""Grids that explain a picture to the last pixel.

Enlarged without loss, a picture changes between neighbouring rows and columns of pixels only where cells meet. With a
pitch of p pixels those places are the whole numbers next above o + kp: every program that enlarges by the nearest cell
rounds so, with one o or another, whether p is whole or not. Several pitches may do, one pixel a cell always does; the
best is the one that leaves least to be told: where, among the places it allows, the changes are.
"""

from __future__ import annotations

from math import gcd, log

import numpy as np

from planner.pattern import LARGEST_SIDE
from planner.picture.barely import BARELY, barely_enlarged
from planner.picture.cut_cells import cut_between_pixels, cut_in_half, cut_in_whole_pixels
from planner.picture.evenness import with_evenness
from planner.picture.exact_cells import (
    ACCIDENTAL,
    PRICE_OF_A_FRAME,
    PRICE_OF_FRACTIONS,
    STRETCH,
    Axis,
    Cells,
    Codes,
    cells_of,
    leaves_of,
    nats_of,
    nats_told,
)
from planner.picture.factors import Free, Places, free_axes
from planner.picture.margins import on_page
from planner.picture.whole_axes import whole_axes

# For a pitch that is free by as much as cuts the side to whole pixels a reading has to save so many nats more, and to
# show so many edges a side.
_PRICE_OF_A_FACTOR, _EDGES_OF_A_FACTOR = 4.0, 4
# Programs cut a side to whole pixels or round it, hardly any fills it up.
_PRICE_OF_FILLING_UP = 3.0
# So much dearer to believe it may be beside what lies on a page.
_DEARER = 14.0
# And for sides that were not enlarged by the same, but for what cuts them to whole pixels.
_PRICE_OF_STRETCHING = 8.0
# What the best reading of whole cells must leave to be told before cut cells of an uneven pitch are looked for.
_ROOM_FOR_FRACTIONS_CUT = 24.0
# That cells of a free pitch begin and end with the picture by chance, the cut ones would have to save so much more.
_CHANCE_OF_A_CUT = 8.0
# Cells of so many times the pitch are not the same.
_PARTS = 1.5
_ROOM_FOR_FACTORS = 8.0
# What a drawing on a page must save between its own ends over one pixel a cell, and so much more at a pitch below the
# third if the picture wears no more colours than the fourth. Settled by trial: of 3500 pictures and icons of one pixel
# a cell none saves more than 11 above that pitch; icons in strokes of two save up to 26 below it.
_SAVED_ON_A_PAGE, _FOR_STROKES, _STROKES, _IN_INK = 16.0, 12.0, 2.45, 3
# What saves so much there is shown, if not believed.
_RIVAL_ON_A_PAGE = 8.0


def exact_readings(codes: Codes) -> list[Cells]:
    """Every exact reading of a picture given as one number a pixel, 0 where it is clear, the best first.

    The last is one pixel a cell, which may be more cells than a pattern holds.

    >>> chequered = np.indices((6, 6)).sum(axis=0).astype(np.uint32) % 2
    >>> best = exact_readings(chequered.repeat(5, axis=0).repeat(5, axis=1))[0]
    >>> best.rows.pitch, best.columns.count
    (5.0, 6)
    """
    height, width = codes.shape
    down, across = _changes(codes)
    native = cells_of(Axis(0.0, 1.0, height), Axis(0.0, 1.0, width), down, across)
    if max(len(down), len(across)) >= LARGEST_SIDE and _apart(down, across, height, width) == 1:
        # More changes than a pattern has cells, as in every photograph.
        return [native]
    found = _whole(down, across, height, width)
    plain = min([native, *(cells for cells in found if cells.even)], key=nats_of)
    in_ink = len(np.unique(codes)) <= _IN_INK
    pages = _on_a_page(codes, plain, in_ink)
    barely = barely_enlarged(codes, down, across, native) if plain is native else []
    # A page is of any width: some cells of nearly two pixels fill it with those of two that lie on it.
    even = [page for page in pages if page.believed and page.even and codes[0, 0] != 0]
    barely = [cells for cells in barely if not any(page.like(cells) for page in even)]
    whole = min([native, *found, *barely], key=nats_of)
    cut, margins = cut_in_whole_pixels(down, across, height, width, plain, whole)
    if cut is None and whole.nats > _ROOM_FOR_FRACTIONS_CUT:
        cut = cut_between_pixels(down, across, height, width, plain, whole)
        if cut and in_ink and cut.rows.pitch < ACCIDENTAL and cut.nats > native.nats - _FOR_STROKES:
            cut = None
        if cut and cut_in_half(cut, whole, height, width):
            cut, margins = None, cut
    factors = _by_a_factor(down, across, height, width, BARELY) if whole.nats > _ROOM_FOR_FACTORS else []
    if cut and min([*factors, *barely], key=nats_of, default=native).nats < cut.nats + _CHANCE_OF_A_CUT:
        cut = None
    found += factors
    first = min([native, *found, *barely], key=nats_of)
    # What fills the picture as well does so with margins of whole cells; but not if only as what is dearer to believe.
    likeliest = pages[:1]
    pages = [cells for cells in pages if not cells.like(first) or first.price >= cells.price + _DEARER]
    leads = pages[:1] == likeliest != [] and pages[0].believed and _lead(pages[0], first, in_ink)
    if leads and cut:
        # What the edge cuts off a margin that is clear is nothing. Parts of cut cells explain no more by chance.
        parts = cut.rows.pitch > _PARTS * pages[0].rows.pitch
        leads = pages[0].nats < cut.nats + (0.0 if parts else _CHANCE_OF_A_CUT) and codes[0, 0] != 0
    weighed = with_evenness(codes, down, across, [*pages, *found], barely)
    pages, found = weighed[: len(pages)], [*weighed[len(pages) :], *barely]
    fill = sorted((one for one in found if one.leaves < native.nats or native.rivals(one)), key=leaves_of)
    ranked = [*pages, *fill] if leads else [*([cut] if cut else []), *fill[:1], *pages[:1], *fill[1:]]
    if margins and ranked:
        ranked.insert(1, margins)
    sizes = [(cells.rows.count, cells.columns.count, cells.cut) for cells in ranked]
    return [*(cells for at, cells in enumerate(ranked) if sizes[at] not in sizes[:at]), native]


def _lead(page: Cells, first: Cells, in_ink: bool) -> bool:
    """Whether a drawing on a page, perhaps one ``in_ink`` of a colour or two, saves so much over the best reading that
    fills the picture that it is believed."""
    if page.like(first):
        return page.nats < first.nats - _DEARER
    strokes = in_ink and page.rows.pitch < _STROKES * first.rows.pitch
    return first.nats - first.price - (page.nats - page.price) >= _SAVED_ON_A_PAGE + (_FOR_STROKES if strokes else 0.0)


def _changes(codes: Codes) -> tuple[Places, Places]:
    return (
        np.flatnonzero((codes[1:] != codes[:-1]).any(axis=1)) + 1,
        np.flatnonzero((codes[:, 1:] != codes[:, :-1]).any(axis=0)) + 1,
    )


def _whole(down: Places, across: Places, height: int, width: int) -> list[Cells]:
    """The readings in which the picture is so many whole cells, square but for rounding and a little stretching."""
    found = []
    size = _apart(down, across, height, width)
    if size > 1:
        rows, columns = Axis(0.0, float(size), height // size), Axis(0.0, float(size), width // size)
        found.append(cells_of(rows, columns, down, across))
    for row in whole_axes(down, height):
        for column in whole_axes(across, width):
            even = row.pitch == column.pitch and row.pitch.is_integer()
            if even and (row.pitch == size or row.pitch == 1):
                continue
            # A side of so many cells was rounded to whole pixels, up or down.
            slack = STRETCH + 1 / height + 1 / width
            if abs(log(row.pitch / column.pitch)) > slack or min(row.pitch, column.pitch) < BARELY:
                continue
            price = 0.0 if even else PRICE_OF_FRACTIONS
            if abs(row.pitch - column.pitch) > 1 / min(row.count, column.count):
                price += _PRICE_OF_STRETCHING
            found.append(cells_of(row, column, down, across, price=price))
    return found


def _apart(down: Places, across: Places, height: int, width: int) -> int:
    """The largest whole number of pixels that everything lies apart."""
    return gcd(height, width, *(int(place) for places in (down, across) for place in places))


def _by_a_factor(down: Places, across: Places, height: int, width: int, least: float) -> list[Cells]:
    """The readings in which both sides were enlarged by one factor that is not the ratio of their whole pixels."""
    if min(len(down), len(across)) < _EDGES_OF_A_FACTOR or max(len(down), len(across)) > LARGEST_SIDE:
        return []
    found, columns = [], free_axes(across, width, least)
    for row in free_axes(down, height, least):
        for column in columns:
            low, high = max(row.low, column.low), min(row.high, column.high)
            # Brought to whole pixels first, the sides differ a little in their factors.
            if low > high + 1 / row.count + 1 / column.count:
                continue
            one, other = ((low + high) / 2,) * 2 if low <= high else (row.middle, column.middle)
            price = PRICE_OF_FRACTIONS + (1 if one == other else 2) * _PRICE_OF_A_FACTOR
            price += _PRICE_OF_FILLING_UP * ((row.count * high < height - 0.5) + (column.count * high < width - 0.5))
            found.append(cells_of(_axis(row, one), _axis(column, other), down, across, price=price))
    return found


def _axis(free: Free, pitch: float) -> Axis:
    return Axis(free.offset(pitch), pitch, free.count)


def _on_a_page(codes: Codes, plain: Cells, in_ink: bool) -> list[Cells]:
    """The readings of a drawing on a page with a margin of any width, those that are believed first; ``plain`` is the
    best of even cells, each of which is taken for a pixel here."""
    size = int(plain.rows.pitch)
    small = codes[::size, ::size]
    found: list[tuple[float, Cells]] = []
    for page in on_page(small, *_changes(small)):
        saved, told, axes = 0.0, 0.0, []
        for free, changes in ((page.rows, page.down), (page.columns, page.across)):
            inside, ends = changes[1:-1], (int(changes[0]), int(changes[-1]))
            nats = nats_told(free.count, inside)
            saved, told = saved + nats_told(ends[1] - ends[0], inside) - nats, told + nats
            start = size * (free.offset(free.middle) + 0.5) - 0.5
            axes.append(Axis(start, size * free.middle, free.count, (size * ends[0], size * ends[1])))
        rows, columns = axes
        even = rows.pitch == columns.pitch and rows.pitch.is_integer()
        price = PRICE_OF_A_FRAME if even else PRICE_OF_FRACTIONS
        strokes = in_ink and min(rows.pitch, columns.pitch) < size * _STROKES
        if saved >= _SAVED_ON_A_PAGE + (_FOR_STROKES if strokes else 0.0):
            cells = Cells(rows, columns, False, True, told + price, price, believed=True)
        elif saved > _RIVAL_ON_A_PAGE:
            cells = Cells(rows, columns, False, True, plain.nats, 0.0)
        else:
            continue
        found.append((saved, cells))
    # Of two that do, one of whole pixels is no likelier.
    return [cells for _, cells in sorted(found, key=lambda one: -one[0])]
