"""Pictures enlarged without loss by less than about two, told from drawings of one pixel a cell.

Where a cell is one pixel or two, every picture of few changes fits some such cells. What tells them is where a picture
does *not* change: between the two pixels of a cell it never can. Three things are counted, in nats: how much less it
takes to tell where the changes lie, between the first and the last, for a margin tells nothing; the same with whatever
repeats itself counted once, for a quilt repeats its seams; and how much more evenly strokes and gaps are wide, counted
in cells. A drawing of one pixel a cell may do well by one of these, as a mirrored quilt or an icon in strokes of two
does, but hardly ever by all.

Only what programs do is asked: cells meet at whole multiples of the pitch, rounded up, to the nearest or down by one
rule both ways; the pitch is what the sides in whole pixels come to, or one factor for both.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import lgamma, log

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.evenness import in_strokes_of_two, nats_of_lengths, nats_of_runs, runs_smoothly
from planner.picture.exact_cells import ONE_OR_TWO, STRETCH, Axis, Cells, Codes, cells_of
from planner.picture.factors import Places

Floats = NDArray[np.float64]

# The pitches looked for: a side of few cells may come out a little smaller than its factor says.
_LEAST, _LEAST_FACTOR, BARELY = 1.22, 1.28, 2.3
# How far below a multiple of the pitch cells may meet: rounded up, at halves down or up, and down.
_HAIR = 1e-6
_ROUNDED = (_HAIR, 0.5 + _HAIR, 0.5 - _HAIR, 1 - _HAIR)
# Just at a half a program that adds up steps goes the one way once and the other way another time.
_EITHER_WAY = 3 * _HAIR
# A factor makes a side longer or shorter by less than so many pixels than its cells come to.
_OVER = 1.0
# The fewest changes a side that tell anything.
_FEWEST = 3
# So far apart even the nearest changes of a side lie in what was enlarged by more.
_APART = 6
# So many of the likeliest by where the changes lie are weighed by all that tells, and so many by the widths of runs.
_MOST_WEIGHED, _MOST_RUNS = 48, 12
# So much less likely are sides that no one factor, rounded one way, comes to; one cut off or filled up; any factor.
_STRETCHED, _ROUNDED_OFF, _ANY_FACTOR = 3.0, 0.7, 0.5
# What must be saved to be believed: by what does not repeat itself and evenness, by places and evenness, and by all
# together, for pitches below each mark; beyond the second, where strokes of two are nearly such cells, most. Settled by
# trial on 6000 pictures and icons of one pixel a cell, and tried on 1300 others.
_BANDS = (1.61, 1.82, BARELY)
_TO_BE_BELIEVED = ((12.0, 17.0, 24.0), (16.5, 10.5, 24.0), (23.0, 18.0, 24.0))
# What places alone must save; and so much more where a cell is one pixel or two, as strokes and quilts are at one pixel
# a cell, falling to nothing at two, where a side may be rounded from the one to the other. Of 1179 pictures of one
# pixel a cell none saves 46 below it.
_OF_PLACES_ALONE, _OF_ONE_OR_TWO, _NEARLY_TWO = 30.0, 20.0, 1.8
# So much more of cells that no one factor makes; and of a drawing in no more colours than the last, its ground among
# them, as icons in strokes of two are; a third
# of it in nearly such cells whatever tells them.
_MORE_STRETCHED, _IN_INK, _INKS = 6.0, 18.0, 3
# Not that without so much that is no repetition: cells of a larger picture fall into parts that save nothing else.
_NOT_REPEATED = 2.0
# So much evenness is believed where hardly anything else is told.
_OF_FEW_ROWS = 4.0
# What saves so much by its places alone is in doubt, if not believed.
_IN_DOUBT = 1.0
# So much more what is not believed leaves to be told than one pixel a cell, less a tenth of what it saves.
_NOT_BELIEVED = 16.0
# In more colours than this a blurred picture may repeat itself.
_FEW_COLOURS = 16


@dataclass(frozen=True, slots=True)
class _Fit:
    """Cells that explain every change: ``rows`` and ``columns`` of ``down`` and ``across`` pixels that meet as far
    below the multiples as ``rounded``; ``nats`` are saved by where the changes lie, ``price`` is how unlikely its sides
    are."""

    rows: int
    columns: int
    down: float
    across: float
    rounded: float
    price: float
    nats: float = 0.0


def barely_enlarged(codes: Codes, down: Places, across: Places, native: Cells) -> list[Cells]:
    """The readings of a picture that changes ``down`` and ``across`` there in cells of less than about two pixels, the
    best first; each leaves as much less to be told than ``native`` as it saves beyond what is asked."""
    height, width = codes.shape
    if min(len(down), len(across)) < _FEWEST or max(len(down), len(across)) >= LARGEST_SIDE:
        return []
    if max(np.diff(down).min(), np.diff(across).min()) >= _APART:
        return []
    fits = [*_of_whole_sides(down, across, height, width), *_of_factors(down, across, height, width)]
    unlike: dict[tuple[bytes, ...], _Fit] = {}
    for fit in sorted(fits, key=lambda fit: fit.price):
        if _is_seen(fit, height, width):
            steps = [numbers.tobytes() for _, numbers in _each(fit, down, across)]
            unlike.setdefault((bytes([fit.rows, fit.columns]), *steps), fit)
    fits = [replace(fit, nats=_saved(fit, down, across)) for fit in unlike.values()]
    fits = sorted(fits, key=lambda fit: fit.price - fit.nats)[:_MOST_WEIGHED]
    lines = _numbered(codes), _numbered(codes.T)
    weighed = [(_unrepeated(fit, lines, down, across), fit) for fit in fits]
    weighed.sort(key=lambda one: one[1].price - one[1].nats - one[0])
    found: list[tuple[float, Cells]] = []
    worn, in_pixels = len(np.unique(codes)), nats_of_runs(codes)
    few, in_ink = worn <= _FEW_COLOURS, _IN_INK if worn <= _INKS else 0.0
    strokes = in_strokes_of_two(down, across)
    for new, fit in weighed[:_MOST_RUNS]:
        rows, columns = Axis(-fit.rounded, fit.down, fit.rows), Axis(-fit.rounded, fit.across, fit.columns)
        cells = Cells(rows, columns, False, False, native.nats, _NOT_BELIEVED)
        drawn = cells.of(codes)
        if not few and runs_smoothly(drawn):
            continue
        runs = in_pixels - nats_of_runs(drawn)
        apart = _evener(fit, down, across)
        even, beyond = _judged(fit, new, apart, runs)
        if max(fit.down, fit.across) >= _BANDS[1]:
            beyond -= in_ink / 3
        if new >= _NOT_REPEATED:
            alone = _by_places_alone(cells, fit, down, across, native) - in_ink
            beyond = max(beyond, alone + (min(runs, 0.0) if strokes else runs))
        saved = fit.nats + new + even - fit.price
        # What is not believed is told by all that it saves, whatever is asked at its pitch.
        leaves = native.nats - beyond if beyond > 0 else native.nats + _NOT_BELIEVED - saved / 10
        # Strokes of two are nearly such cells, and as even.
        # Halves that went either way let chance fit what it would not else.
        doubt = fit.nats >= _IN_DOUBT and (apart >= 0 or not strokes) and not _ways_of_halves(fit, down, across)
        found.append((saved, replace(cells, nats=leaves, believed=beyond > 0, in_doubt=doubt)))
    return [cells for _, cells in sorted(found, key=lambda one: (one[1].nats, -one[0]))]


def _is_seen(fit: _Fit, height: int, width: int) -> bool:
    """Whether the last cells begin on the picture."""
    rows, columns = (fit.rows - 1) * fit.down - fit.rounded, (fit.columns - 1) * fit.across - fit.rounded
    return rows <= height - 1 and columns <= width - 1


def _of_whole_sides(down: Places, across: Places, height: int, width: int) -> list[_Fit]:
    found = []
    for rounded in _ROUNDED:
        columns = _counts(across, width, rounded)
        for row in _counts(down, height, rounded):
            for column in columns:
                ratio = (height / row) / (width / column)
                if abs(log(ratio)) > STRETCH + 0.7 / height + 0.7 / width or (
                    2 * row == height and 2 * column == width
                ):
                    continue
                price = _price_of_sides(height, row, width, column)
                found.append(_Fit(row, column, height / row, width / column, rounded, price))
    return found


def _counts(changes: Places, side: int, rounded: float) -> list[int]:
    """How many cells, meeting at multiples of what the side has for each, explain all changes."""
    counts = np.arange(max(len(changes) + 1, int(side / BARELY)), min(int(side / _LEAST), LARGEST_SIDE) + 1)
    if not len(counts):
        return []
    pitch = side / counts[:, None]
    steps = np.floor((changes[None, :] + rounded) / pitch)
    either = _EITHER_WAY if rounded == 0.5 + _HAIR else 0.0
    fits = (steps * pitch - rounded > changes - 1 - either).all(axis=1) & (steps[:, -1] < counts)
    fits &= (np.diff(steps, axis=1) > 0).all(axis=1)
    return [int(count) for count in counts[fits]]


def _of_factors(down: Places, across: Places, height: int, width: int) -> list[_Fit]:
    found = []
    for rounded in _ROUNDED:
        for low, high in _factors(np.concatenate([down, across]), rounded):
            rows, columns = _counts_between(low, high, height), _counts_between(low, high, width)
            for row in rows if columns else []:
                for column in columns:
                    least = max(low, (height - _OVER) / row, (width - _OVER) / column)
                    most = min(high, (height + _OVER) / row, (width + _OVER) / column)
                    if least >= most or row <= len(down) or column <= len(across):
                        continue
                    price = _ANY_FACTOR + _price_of_sides(height, row, width, column, low, high)
                    found.append(_Fit(row, column, (least + most) / 2, (least + most) / 2, rounded, price))
    return found


def _counts_between(low: float, high: float, side: int) -> list[int]:
    """How many cells a factor between two makes nearly so many pixels."""
    least, most = int((side - _OVER) / high), min(int((side + _OVER) / low) + 1, LARGEST_SIDE)
    return [n for n in range(least, most + 1) if n * low < side + _OVER and n * high > side - _OVER]


def _factors(changes: Places, rounded: float) -> list[tuple[float, float]]:
    """Between what bounds lie the factors whose multiples, so rounded, are all the changes and more."""
    starts, ends = [], []
    for change in changes.tolist():
        steps = np.arange(max(1, int(change / BARELY)), int((change + 1) / _LEAST_FACTOR) + 2)
        starts.append((change - 1 + rounded) / steps)
        ends.append((change + rounded) / steps)
    places = np.concatenate([*starts, *ends])
    turns = np.concatenate([np.ones(len(places) // 2), -np.ones(len(places) // 2)])
    order = np.argsort(places, kind="stable")
    places, met = places[order], np.cumsum(turns[order])
    at = np.flatnonzero((met[:-1] == len(changes)) & (np.diff(places) > _HAIR))
    bounds = [(float(places[k]), float(places[k + 1])) for k in at]
    return [(low, high) for low, high in bounds if _LEAST_FACTOR <= (low + high) / 2 < BARELY]


def _price_of_sides(
    height: int, rows: int, width: int, columns: int, least: float = 0.0, most: float = np.inf
) -> float:
    """How unlikely sides of so many pixels are for so many cells enlarged by one factor between those two."""
    for below, above, price in ((0.5, 0.5, 0.0), (0.0, 1.0, _ROUNDED_OFF), (1.0, 0.0, _ROUNDED_OFF)):
        low = max((height - below) / rows, (width - below) / columns, least)
        if low <= min((height + above) / rows, (width + above) / columns, most):
            return price
    return _STRETCHED


def _steps(changes: Places, pitch: float, rounded: float) -> Places:
    """Which cell begins at each change."""
    return np.asarray(np.floor((changes + rounded) / pitch), dtype=np.int64)


def _each(fit: _Fit, down: Places, across: Places) -> tuple[tuple[Places, Places], ...]:
    """The changes along both sides and which cells they begin."""
    return (down, _steps(down, fit.down, fit.rounded)), (across, _steps(across, fit.across, fit.rounded))


def _saved(fit: _Fit, down: Places, across: Places) -> float:
    saved = 0.0
    for changes, steps in _each(fit, down, across):
        pixels, cells = int(changes[-1] - changes[0]) - 1, int(steps[-1] - steps[0]) - 1
        saved += _told(pixels, len(changes) - 2) - _told(cells, len(changes) - 2)
    return saved - _ways_of_halves(fit, down, across)


def _ways_of_halves(fit: _Fit, down: Places, across: Places) -> float:
    """What it takes to tell which way each change went that lies just at a half; nothing where all went one way."""
    ways: list[bool] = []
    for (changes, steps), pitch in zip(_each(fit, down, across), (fit.down, fit.across), strict=True):
        places = steps * pitch - 0.5
        half = np.abs(places - np.rint(places)) < _EITHER_WAY
        ways += (changes[half] - places[half] > 0.5).tolist()
    return len(ways) * log(2) if any(ways) and not all(ways) else 0.0


def _evener(fit: _Fit, down: Places, across: Places) -> float:
    """How much less it takes to tell how far the changes lie apart counted in cells."""
    return sum(
        nats_of_lengths(np.diff(changes)) - nats_of_lengths(np.diff(steps))
        for changes, steps in _each(fit, down, across)
    )


def _numbered(lines: Codes) -> Places:
    """A number for each line, the same for equal ones."""
    known: dict[bytes, int] = {}
    return np.array([known.setdefault(line.tobytes(), len(known)) for line in lines], dtype=np.int64)


def _unrepeated(fit: _Fit, lines: tuple[Places, Places], down: Places, across: Places) -> float:
    """What is saved with each row and column, of the numbers in ``lines``, and each two side by side, counted once
    however often they come."""
    saved = 0.0
    pitches = fit.down, fit.across
    for numbers, pitch, changes in zip(lines, pitches, (down, across), strict=True):
        places = np.arange(changes[0] + 1, changes[-1])
        before, after = numbers[places - 1], numbers[places]
        pairs = np.minimum(before, after) * len(numbers) + np.maximum(before, after)
        same = before == after
        begins = _steps(places, pitch, fit.rounded) != _steps(places - 1, pitch, fit.rounded)
        met = len(np.unique(pairs[~same]))
        doubled, of_cells = len(np.unique(before[same])), len(np.unique(before[same & begins]))
        saved += _told(met + doubled, met) - _told(met + of_cells, met)
    return saved


def _told(places: int, seen: int) -> float:
    """What it takes to tell which of so many places were seen to change, whatever their share."""
    return log(places + 1) + lgamma(places + 1) - lgamma(seen + 1) - lgamma(places - seen + 1)


def _judged(fit: _Fit, new: float, apart: float, runs: float) -> tuple[float, float]:
    """What evenness counts for, and what a fit saves beyond what is asked at its pitch: by what is ``new``, not a
    repetition, by how evenly changes lie ``apart`` and by how evenly ``runs`` are wide."""
    band = next(at for at, most in enumerate(_BANDS) if max(fit.down, fit.across) < most or most == _BANDS[-1])
    # Whatever repeats itself is even wherever it is: a quilt's seams count no more than twice what is new in them.
    even = min(fit.nats, apart, runs, 2 * new) / 2
    evenly = min(fit.nats, (apart + runs) / 2, 2 * new + _OF_FEW_ROWS if band == 0 else fit.nats)
    told = new + even, evenly, min(fit.nats, 2 * new) / 2 + new / 2 + even
    return even, max(saved - asked for saved, asked in zip(told, _TO_BE_BELIEVED[band], strict=True)) - fit.price


def _by_places_alone(cells: Cells, fit: _Fit, down: Places, across: Places, native: Cells) -> float:
    """What is saved beyond what is asked by all the places at once, margins too: of a picture with next to none."""
    pitch = min(fit.down, fit.across)
    stretched = _MORE_STRETCHED if fit.price >= _STRETCHED else 0.0
    asked = (
        _OF_PLACES_ALONE
        + stretched
        + _OF_ONE_OR_TWO * min(max((ONE_OR_TWO - pitch) / (ONE_OR_TWO - _NEARLY_TWO), 0.0), 1.0)
    )
    return native.nats - cells_of(cells.rows, cells.columns, down, across, price=asked + fit.price).nats
