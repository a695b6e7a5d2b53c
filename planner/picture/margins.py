"""Pitches that explain where a picture changes that was enlarged without loss and lies on a page, with a margin of any
width: every change begins a cell, but for the outermost two each way. There the enlarged picture itself ends, and its
sides were brought to whole pixels, so that these may be a pixel off."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from planner.picture.factors import Floats, Free, Places, pitches_near, spread

# The least pitch looked for: below it rounding hides everything.
_LEAST = 2.0
# Pitches are tried so close that the last change moves by so much of a pixel from one to the next.
_STEP = 0.25
_ROOM = 1e-6
# The fewest changes that tell a pitch, and the most pitches that are told, the largest first.
_FEWEST, _MOST = 4, 6
# The outermost changes lie within so much of where the cells' pitch puts them, in pixels.
_WITHIN = 1.0
# So many of the pitches that explain what lies between are tried at the ends.
_PITCHES = 9
# On so many sides a drawing may reach to the picture's edge and yet be seen to lie on a page.
_REACHES = 2


@dataclass(frozen=True, slots=True)
class OnPage:
    """What lies on a page: its ``rows`` and ``columns``, cell 0 of each starting with the first of their changes, and
    the changes themselves, the ends among them."""

    rows: Free
    columns: Free
    down: Places
    across: Places


def on_page(codes: NDArray[np.uint32], down: Places, across: Places) -> list[OnPage]:
    """The grids, with square cells but for rounding, of what lies on a page of one colour in a picture given as one
    number a pixel that changes ``down`` and ``across`` there; none where no such page is seen."""
    if min(len(down), len(across)) < _FEWEST:
        return []
    lines: list[NDArray[Any]] = [codes[0], codes[-1], codes[:, 0], codes[:, -1]]
    plain = [bool((line == line[0]).all()) for line in lines]
    pages = {int(line[0]) for line, is_plain in zip(lines, plain, strict=True) if is_plain}
    if len(pages) != 1 or plain.count(False) > _REACHES:
        return []
    height, width = codes.shape
    down = _with_ends(down, height, *plain[:2])
    across = _with_ends(across, width, *plain[2:])
    columns = free_in_margins(across)
    found = []
    for row in free_in_margins(down) if columns else []:
        for column in columns:
            # Each side was brought to whole pixels by itself.
            slack = 1 / row.count + 1 / column.count
            if max(row.low, column.low) <= min(row.high, column.high) + slack:
                found.append(OnPage(row, column, down, across))
    return found


def _with_ends(changes: Places, side: int, starts_on_page: bool, ends_on_page: bool) -> Places:
    ends = [] if starts_on_page else [0], [] if ends_on_page else [side]
    return np.concatenate([ends[0], changes, ends[1]]).astype(np.int64)


def free_in_margins(changes: Places) -> list[Free]:
    """The pitches of cells between the first change and the last, the largest first; their cell of number 0 starts at
    the first change."""
    found: list[Free] = []
    for tried in _tried(changes[1:-1]):
        free = pitches_near(changes[1:-1], tried)
        # Bounds that leave a single pitch would need every half rounded to the side that suits it.
        if free is None or free.high - free.low < _ROOM:
            continue
        free = _to_the_ends(free, changes)
        if free is not None and all(abs(free.middle - other.middle) > 1e-3 for other in found):
            found.append(free)
        if len(found) == _MOST:
            break
    return found


def _tried(changes: Places) -> Floats:
    """The pitches at which changes lie nearly in step, the largest first."""
    span = float(changes[-1] - changes[0])
    # No two changes begin one cell.
    most = (span + 1) / (len(changes) - 1)
    if most <= _LEAST:
        return np.empty(0)
    steps = np.arange(0, np.log(most / _LEAST) + _STEP / span, _STEP / span)
    tried = _LEAST * np.exp(steps)
    return tried[spread(changes, tried) < 1 + _STEP + 0.05][::-1]


def _to_the_ends(free: Free, changes: Places) -> Free | None:
    """The same from the first change to the last, at those of its pitches that put a cell's beginning there, but for a
    pixel; None where none does."""
    tried = np.linspace(free.low, free.high, _PITCHES)
    offsets = np.array([free.offset(pitch) for pitch in tried])
    ends = (changes[[0, -1]] - offsets[:, None] - 0.5) / tried[:, None]
    numbers = np.rint(ends)
    fits = (np.abs(ends - numbers) * tried[:, None] <= 0.5 + _WITHIN).all(axis=1)
    fits &= (numbers[:, 0] < 0) & (numbers[:, 1] > free.steps[-1])
    if not fits.any():
        return None
    # Those next to the likeliest, in the middle, that put as many cells between the ends.
    best = int(np.flatnonzero(fits)[np.abs(np.flatnonzero(fits) - _PITCHES // 2).argmin()])
    first, last = numbers[best]
    fits &= (numbers == numbers[best]).all(axis=1)
    low, high = float(tried[fits].min()), float(tried[fits].max())
    return replace(free, steps=free.steps - first, low=low, high=high, count=int(last - first))
