"""Grids that explain a picture to the last pixel.

Enlarged without loss, a picture changes between neighbouring rows and columns of pixels only where cells meet. With a
pitch of p pixels those places are the whole numbers next above o + kp: every program that enlarges by the nearest cell
rounds so, with one o or another, whether p is whole or not. Several pitches may do, one pixel a cell always does; the
best is the one that leaves least to be told: where, among the places it allows, the changes are.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, gcd, lgamma, log

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.factors import LEAST_PITCH, Free, Places, fractions, free_axes
from planner.picture.margins import on_page

Codes = NDArray[np.uint32]

# What a reading must save over a plainer one, in nats (about the logarithm of how many such readings there are to try),
# before it is believed. Settled by trial on icons, faces and drawn figures: none is then read at its strokes' pitch.
_PRICE_OF_FRACTIONS = 16.0
_PRICE_OF_A_FRAME = 10.0
_PRICE_OF_A_CUT = 16.0
# An uneven pitch of less than so many pixels fits by accident now and then: rounding gives it too much room.
_ACCIDENTAL = 3.5
# Below so many it does so in many a small picture, and has to save so much more before it is believed.
_MOSTLY_ACCIDENTAL, _PRICE_OF_ACCIDENTS = 2.25, 10.0
# Below two a cell is one pixel or two, as strokes and quilts are at one pixel a cell: it has to save so many more, and
# so many at all to be a rival. Settled by trial: of 1179 pictures of one pixel a cell none saves 46 there, 31 save 24.
_ONE_OR_TWO, _PRICE_OF_ONE_OR_TWO, _RIVAL_OF_ONE_OR_TWO = 2.0, 20.0, 24.0
_EDGES_BEYOND_STROKES = 12
# For a pitch that is free by as much as cuts the side to whole pixels a reading has to save so many nats more, and to
# show so many edges a side.
_PRICE_OF_A_FACTOR, _EDGES_OF_A_FACTOR = 4.0, 4
# Smaller ones are looked for only among so few colours, for a blurred picture repeats itself, and not on a page. Cells
# are square, but for a picture stretched by so much.
_FEW_COLOURS, _LEAST_FACTOR, STRETCH = 16, 2.3, 0.045
# What the best reading of whole cells must leave to be told before cut cells of an uneven pitch are looked for.
_ROOM_FOR_FRACTIONS_CUT = 24.0
# That cells of a free pitch begin and end with the picture by chance, the cut ones would have to save so much more.
_CHANCE_OF_A_CUT = 8.0
# A reading rivals another where it is worse by less than so many nats; and one pixel a cell also where, its price left
# out, it is better by so many. Settled by trial: of 1328 pictures of one pixel a cell eleven have such a rival.
_NEARLY_AS_WELL, _RIVAL = 4.0, 10.0
_ROOM_FOR_FACTORS = 20.0
# What a drawing on a page must save between its own ends over one pixel a cell, and so much more at a pitch below the
# third. Settled by trial: of 3500 pictures and icons of one pixel a cell none saves more than 11 above that pitch;
# drawings in strokes of two save up to 26 below it.
_SAVED_ON_A_PAGE, _FOR_STROKES, _STROKES = 16.0, 12.0, 2.2
# Cells that come to lie off others by less than such a part of one, from end to end, are the same.
_PART = 0.75
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


@dataclass(frozen=True, slots=True)
class Axis:
    """Cells along one side: cell k of ``count`` starts at the whole number next above ``offset`` + k × ``pitch``.

    ``ends`` are the pixels that the first cell starts and the last one ends at where these were seen, and may be a
    pixel off that."""

    offset: float
    pitch: float
    count: int
    ends: tuple[int, int] | None = None

    def middles(self, side: int) -> list[int]:
        """A pixel in the middle of each cell on a picture ``side`` pixels long, or the nearest on it."""
        # Uneven cells start up to a pixel later than their offset says, half a one in the mean.
        start = self.offset if self.pitch.is_integer() else self.offset + 0.5
        first, end = self.ends or (0, side)
        return [min(max(int(start + (k + 0.5) * self.pitch), first), end - 1) for k in range(self.count)]


@dataclass(frozen=True, slots=True)
class Cells:
    """One exact reading: both axes, whether the picture's edge cuts its outermost cells, whether it is of a drawing
    ``framed`` by a page, and ``nats``, what it leaves to be told, the ``price`` of being believed among it. What is
    ``believed`` saves enough between its own ends."""

    rows: Axis
    columns: Axis
    cut: bool
    framed: bool
    nats: float
    price: float = 0.0
    believed: bool = False

    def rivals(self, other: Cells) -> bool:
        """Whether another reading does nearly as well or, against one pixel a cell, would if such were not rare."""
        plain = self.rows.pitch == 1 == self.columns.pitch
        saves = self.nats - (other.nats - other.price) > (_RIVAL_OF_ONE_OR_TWO if other.small else _RIVAL)
        return other.nats < self.nats + _NEARLY_AS_WELL or (plain and saves)

    def like(self, other: Cells) -> bool:
        """Whether these cells are those of the other reading, but for how many there are around."""
        pairs = ((self.rows, other.rows), (self.columns, other.columns))
        return all(abs(one.pitch / two.pitch - 1) * one.count < _PART for one, two in pairs)

    @property
    def small(self) -> bool:
        return min(self.rows.pitch, self.columns.pitch) < _ONE_OR_TWO

    @property
    def even(self) -> bool:
        """Whether every cell measures the same whole number of pixels both ways."""
        return self.rows.pitch == self.columns.pitch and self.rows.pitch.is_integer()


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
    native = _cells(Axis(0.0, 1.0, height), Axis(0.0, 1.0, width), down, across)
    found = _whole(down, across, height, width)
    plain = min([native, *(cells for cells in found if cells.even)], key=_nats_of)
    pages = _on_a_page(codes, plain)
    # A page is of any width, what is clear around a drawing was enlarged with it.
    small = len(np.unique(codes)) <= _FEW_COLOURS and (codes[0, 0] == 0 or not any(page.believed for page in pages))
    found = [cells for cells in found if small or cells.even or not cells.small]
    whole = min([native, *found], key=_nats_of)
    cut, margins = _cut_in_whole_pixels(down, across, height, width, plain, whole)
    if cut is None and whole.nats > _ROOM_FOR_FRACTIONS_CUT:
        cut = _cut_between_pixels(down, across, height, width, plain, whole)
        if cut and _cut_in_half(cut, whole, height, width):
            cut, margins = None, cut
    least = LEAST_PITCH if small else _LEAST_FACTOR
    factors = _by_a_factor(down, across, height, width, least) if whole.nats > _ROOM_FOR_FACTORS else []
    if cut and min(factors, key=_nats_of, default=native).nats < cut.nats + _CHANCE_OF_A_CUT:
        cut = None
    found += factors
    first = min([native, *found], key=_nats_of)
    # What fills the picture as well does so with margins of whole cells.
    pages = [cells for cells in pages if not cells.like(first)]
    leads = bool(pages) and pages[0].believed and _lead(pages[0], first)
    if leads and cut:
        # What the edge cuts off a margin that is clear is nothing.
        leads = pages[0].nats < cut.nats + _CHANCE_OF_A_CUT and codes[0, 0] != 0
    fill = sorted((cells for cells in found if cells.nats < native.nats or native.rivals(cells)), key=_nats_of)
    ranked = [*pages, *fill] if leads else [*([cut] if cut else []), *fill[:1], *pages[:1], *fill[1:]]
    if margins and ranked:
        ranked.insert(1, margins)
    return [*ranked, native]


def _lead(page: Cells, first: Cells) -> bool:
    """Whether a drawing on a page saves so much over the best reading that fills the picture that it is believed."""
    strokes = page.rows.pitch < _STROKES * first.rows.pitch
    return first.nats - first.price - (page.nats - page.price) >= _SAVED_ON_A_PAGE + (_FOR_STROKES if strokes else 0.0)


def _nats_of(cells: Cells) -> float:
    return cells.nats


def _cells(rows: Axis, columns: Axis, down: Places, across: Places, *, price: float = 0.0, cut: bool = False) -> Cells:
    return Cells(rows, columns, cut, False, _nats(rows.count, down) + _nats(columns.count, across) + price, price)


def _changes(codes: Codes) -> tuple[Places, Places]:
    return (
        np.flatnonzero((codes[1:] != codes[:-1]).any(axis=1)) + 1,
        np.flatnonzero((codes[:, 1:] != codes[:, :-1]).any(axis=0)) + 1,
    )


def _nats(count: int, changes: Places) -> float:
    """The logarithm of in how many ways so many changes may lie on the sides between so many cells."""
    places, seen = max(count - 1, len(changes)), len(changes)
    return lgamma(places + 1) - lgamma(seen + 1) - lgamma(places - seen + 1)


def _whole(down: Places, across: Places, height: int, width: int) -> list[Cells]:
    """The readings in which the picture is so many whole cells, square but for rounding and a little stretching."""
    found = []
    size = gcd(height, width, *(int(place) for places in (down, across) for place in places))
    if size > 1:
        rows, columns = Axis(0.0, float(size), height // size), Axis(0.0, float(size), width // size)
        found.append(_cells(rows, columns, down, across))
    for row in _whole_axis(down, height):
        for column in _whole_axis(across, width):
            even = row.pitch == column.pitch and row.pitch.is_integer()
            if even and (row.pitch == size or row.pitch == 1):
                continue
            # A side of so many cells was rounded to whole pixels, up or down.
            slack = STRETCH + 1 / height + 1 / width
            if abs(log(row.pitch / column.pitch)) > slack or min(row.pitch, column.pitch) < LEAST_PITCH:
                continue
            price = 0.0 if even else _price_of_fractions(min(row.pitch, column.pitch))
            found.append(_cells(row, column, down, across, price=price))
    return found


def _price_of_fractions(pitch: float) -> float:
    more = _PRICE_OF_ONE_OR_TWO if pitch < _ONE_OR_TWO else 0.0
    return _PRICE_OF_FRACTIONS + more + (_PRICE_OF_ACCIDENTS if pitch < _MOSTLY_ACCIDENTAL else 0.0)


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
            price = _price_of_fractions(min(one, other)) + (1 if one == other else 2) * _PRICE_OF_A_FACTOR
            found.append(_cells(_axis(row, one), _axis(column, other), down, across, price=price))
    return found


def _axis(free: Free, pitch: float) -> Axis:
    return Axis(free.offset(pitch), pitch, free.count)


def _whole_axis(changes: Places, side: int) -> list[Axis]:
    counts = np.arange(1, min(side, LARGEST_SIDE) + 1)
    pitch = side / counts
    if not len(changes):
        return [Axis(0.0, float(p), int(n)) for p, n in zip(pitch, counts, strict=True)]
    past = changes[None, :] % pitch[:, None]
    # The picture's own edge lies at nought: rounding may bring a change to just before a multiple or just after.
    past = np.where(past < 1 - 1e-9, past, past - pitch[:, None])
    low, high = np.minimum(past.min(axis=1), 0), np.maximum(past.max(axis=1), 0)
    # Programs that round halves to the even number need the whole pixel, both ends included, but not for small cells.
    fits = (low > -1 + 1e-9) & (high - low < 1 + 1e-9) & ((pitch >= _ONE_OR_TWO) | (len(changes) < counts))
    return [
        Axis(
            float(low[i] + min(high[i] - 1, 0)) / 2 if high[i] > 0 or low[i] < 0 else 0.0,
            float(pitch[i]),
            int(counts[i]),
        )
        for i in np.flatnonzero(fits)
    ]


def _on_a_page(codes: Codes, plain: Cells) -> list[Cells]:
    """The readings of a drawing on a page with a margin of any width, those that are believed first; ``plain`` is the
    best of even cells, each of which is taken for a pixel here."""
    size = int(plain.rows.pitch)
    small = codes[::size, ::size]
    found: list[tuple[float, Cells]] = []
    for page in on_page(small, *_changes(small)):
        saved, told, axes = 0.0, 0.0, []
        for free, changes in ((page.rows, page.down), (page.columns, page.across)):
            inside, ends = changes[1:-1], (int(changes[0]), int(changes[-1]))
            nats = _nats(free.count, inside)
            saved, told = saved + _nats(ends[1] - ends[0], inside) - nats, told + nats
            start = size * (free.offset(free.middle) + 0.5) - 0.5
            axes.append(Axis(start, size * free.middle, free.count, (size * ends[0], size * ends[1])))
        rows, columns = axes
        even = rows.pitch == columns.pitch and rows.pitch.is_integer()
        price = _PRICE_OF_A_FRAME if even else _PRICE_OF_FRACTIONS
        strokes = min(rows.pitch, columns.pitch) < size * _STROKES
        if saved >= _SAVED_ON_A_PAGE + (_FOR_STROKES if strokes else 0.0):
            cells = Cells(rows, columns, False, True, told + price, price, believed=True)
        elif saved > _RIVAL:
            cells = Cells(rows, columns, False, True, plain.nats, 0.0)
        else:
            continue
        found.append((saved, cells))
    # Of two that do, one of whole pixels is no likelier.
    return [cells for _, cells in sorted(found, key=lambda one: -one[0])]


def _cut_in_whole_pixels(
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
    cells = _cells(rows, columns, down, across, price=_PRICE_OF_A_CUT, cut=cut)
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
        few = pitch < _ACCIDENTAL and 2 * edges < min(cut.rows.count, cut.columns.count)
        enough = edges >= _EDGES_AT_LEAST and pitch > size and not few
    else:
        enough = any(pitch >= times * size and edges >= least for times, least in _TIMES_AND_EDGES)
    if whole is plain or not enough:
        return enough
    # An uneven grid of whole cells does as well. Of large cells that is no accident, unless cut ones are larger still
    # or so many edges keep in step with them that no drawing in strokes would.
    if whole.framed and not whole.even and cut.even:
        return cut.nats < whole.nats + _PRICE_OF_A_CUT
    accident = pitch >= 2.9 * whole.rows.pitch or whole.rows.pitch < _ACCIDENTAL or edges >= _EDGES_BEYOND_STROKES
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


def _cut_between_pixels(
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
            price = _PRICE_OF_A_CUT + (_PRICE_OF_FRACTIONS if stretched else 0.0)
            cut = _is_cut(rows, height, _rounding(row[1])) or _is_cut(columns, width, _rounding(column[1]))
            cells = _cells(rows, columns, down, across, price=price, cut=cut)
            if cells.nats < (best or plain).nats and _take_cut(cells, plain, whole, min(len(down), len(across))):
                best = cells
    return best


def _cut_in_half(cut: Cells, whole: Cells, height: int, width: int) -> bool:
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
