"""Where the ruling starts and ends: the frame from its first line to its last, blank rows and columns included."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from planner.picture.charts.rims import settled
from planner.picture.charts.sampling import Floats
from planner.picture.charts.segments import Pieces, Sheet
from planner.picture.charts.surroundings import without_surroundings

# Every piece of line that is there speaks for the frame reaching over it by what is left of 1; every one that could be
# told and is not there speaks against it by this much, for in a busy part of a small blurred chart only every third
# may be seen, and on an empty page next to none. One that could not be told speaks against it only so much as keeps
# the frame from reaching out where nothing is seen, and next to nothing where lines spare what is blank. Settled by
# trial.
_AGAINST, _UNTOLD, _BLANK = 0.25, 0.06, 0.01
# What a piece counts between two cells of different colours, where blur and ringing hide lines or feign them.
_EDGE_WEIGHT = 0.4
# So many pieces it takes to judge a line.
_PIECES = 3


@dataclass(frozen=True, slots=True)
class Frame:
    """Rows ``top`` to ``bottom``, columns ``left`` to ``right`` of a sheet (the last ones not included).

    Of the ``pieces`` of line inside: ``drawn``, how many are there, ``share``, how many of those that can be told;
    ``flat`` the same of the ``flats`` between cells of one colour, in the direction where it is less, and ``contrast``
    how much these stand out, or all that are there where none of these are. ``even``: how many of the lines are there
    along half of their length or more; ``spread``: how uneven the cells are inside; ``spares_blanks``: lines are drawn
    round the filled cells only."""

    top: int
    bottom: int
    left: int
    right: int
    share: float
    flat: float
    flats: int
    pieces: int
    drawn: float
    even: float
    contrast: float
    spread: float
    spares_blanks: bool = False

    @property
    def rows(self) -> int:
        return self.bottom - self.top

    @property
    def columns(self) -> int:
        return self.right - self.left


def find_frame(sheet: Sheet, spares_blanks: bool = False) -> Frame | None:
    """The frame of the ruling on a sheet, None where there is none; of one that ``spares_blanks`` the pieces between
    blank cells are left out of account."""
    untold = _BLANK if spares_blanks else _UNTOLD
    upright, level = _votes(sheet.upright, untold), _votes(sheet.level, untold)
    rows = len(sheet.cells)
    best: tuple[float, tuple[int, int, int, int]] = (0.0, (0, 0, 0, 0))
    # The climb starts from the whole and from each half, so that a second chart or a page of text beside the ruling
    # does not draw it away.
    for start in ((0, rows), (0, (rows + 1) // 2), (rows // 2, rows), (rows // 4, rows - rows // 4)):
        found = _climb(upright, level, start)
        if found is not None and found[0] > best[0]:
            best = found
    top, bottom, left, right = best[1]
    if right - left < 2 or bottom - top < 2:
        return None
    bounds = (top, bottom, left, right)
    frame = judged(sheet, *settled(sheet, bounds if spares_blanks else without_surroundings(sheet, bounds)))
    return replace(frame, spares_blanks=spares_blanks)


def _votes(pieces: Pieces, untold: float) -> Floats:
    """For or against each piece of line: lines × cells along them."""
    weight = np.where(pieces.same, 1.0, _EDGE_WEIGHT)
    return np.asarray(weight * np.where(pieces.told, np.where(pieces.there, 1 - _AGAINST, -_AGAINST), -untold))


def _climb(upright: Floats, level: Floats, start: tuple[int, int]) -> tuple[float, tuple[int, int, int, int]] | None:
    """Rows and columns in turn set where the sum of the votes inside is largest, until nothing moves."""
    top, bottom = start
    left = right = 0
    total = 0.0
    for _ in range(6):
        before = (top, bottom, left, right)
        # Only lines inside the rows that stand are counted along each column, the outermost ones among them.
        total, left, right = _largest(level[top : bottom + 1].sum(axis=0), upright[:, top:bottom].sum(axis=1))
        if right <= left:
            return None
        total, top, bottom = _largest(upright[left : right + 1].sum(axis=0), level[:, left:right].sum(axis=1))
        if bottom <= top:
            return None
        if before == (top, bottom, left, right):
            break
    return total, (top, bottom, left, right)


def _largest(crossing: Floats, parting: Floats) -> tuple[float, int, int]:
    """The stretch of cells with the largest sum of the lines crossing them and the lines between and around them."""
    count = len(crossing)
    across = np.concatenate([[0.0], np.cumsum(crossing)])
    between = np.concatenate([[0.0], np.cumsum(parting)])
    # Many a chart has no line around it, so that the outermost lines speak for a frame but never against it.
    around = np.maximum(parting, 0.0)
    # From cell a to before cell b: cells a..b-1, lines a+1..b-1 between them, lines a and b around them.
    worth = (across[None, 1:] - across[:-1, None]) + (between[None, 1:-1] - between[1:-1, None])
    worth += around[None, 1:] + around[:-1, None]
    worth[np.tril_indices(count, -1)] = -np.inf
    a, b = np.unravel_index(int(np.argmax(worth)), worth.shape)
    return float(worth[a, b]), int(a), int(b) + 1


def judged(sheet: Sheet, top: int, bottom: int, left: int, right: int) -> Frame:
    """The frame with its pieces counted."""
    there, told, same, out, even, both = [], [], [], [], [], []
    for pieces, lines, cells in (
        (sheet.upright, (left, right), (top, bottom)),
        (sheet.level, (top, bottom), (left, right)),
    ):
        # The outermost lines have the page on one side and say little.
        cut = np.s_[lines[0] + 1 : lines[1], cells[0] : cells[1]]
        can, has, flat = pieces.told[cut], pieces.there[cut] & pieces.told[cut], pieces.same[cut]
        # A line is judged by its pieces between cells of one colour where it has enough of them.
        few = (can & flat).sum(axis=1, keepdims=True) < _PIECES
        counted = can & (flat | few)
        number = counted.sum(axis=1)
        even.append(((has & counted).sum(axis=1) >= 0.5 * number)[number >= _PIECES])
        if (can & flat).sum() >= _PIECES:
            # A wall of bricks has all lines one way and every second one the other way.
            both.append(float((has & flat).sum() / (can & flat).sum()))
        there.append(has.ravel())
        told.append(can.ravel())
        same.append(flat.ravel())
        out.append(pieces.weight[cut].ravel())
    has, can, flat = np.concatenate(there), np.concatenate(told), np.concatenate(same)
    lines_even = np.concatenate(even)
    flats = int((can & flat).sum())
    met = has & flat if (has & flat).any() else has
    drawn = np.concatenate(out)[met]
    return Frame(
        top,
        bottom,
        left,
        right,
        share=float(has.sum() / max(1, can.sum())),
        flat=min(both, default=0.0),
        flats=flats,
        pieces=len(has),
        drawn=float(has.mean()) if len(has) else 0.0,
        even=float(lines_even.mean()) if len(lines_even) else 0.0,
        contrast=float(np.median(drawn)) if len(drawn) else 0.0,
        spread=float(np.median(sheet.spread[top:bottom, left:right])),
    )
