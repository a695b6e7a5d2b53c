"""Which sizes in cells a whole picture may have: those that explain it far better than sizes close by.

Any fine grid explains a picture well. The right one stands out by explaining it much better than a grid of one row
more or less does, and so do its multiples; other sizes do not. Settled by trial on the development set.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.pattern import LARGEST_SIDE
from planner.picture.exact_cells import STRETCH
from planner.picture.redraw import Floats, Picture, Side

# Fewer cells a side than this are no picture worth a search, and cells smaller than this cannot be told apart.
FEWEST = 4
LEAST_PITCH = 2.2
LEAST_PITCH_OF_TENTS = 3.0
# Lines enough to know a side by; more only cost time.
_LINES = 256
# Tents are smooth, so that they are looked for on a smaller copy.
_LONGEST_OF_TENTS = 320
# Two values a pixel apart by less than this cannot be seen.
_UNSEEN = 2.0


@dataclass(frozen=True, slots=True)
class Size:
    """So many rows and columns, how far they stand out (in nats of the mean square left over) and in which shape."""

    rows: int
    columns: int
    stands_out: float
    smooth: bool


def sides(picture: Picture) -> tuple[Side, Side]:
    """Both sides of a picture (height × width × channels): down first, then across."""
    height, width, _ = picture.shape
    across = picture[:: -(-height // _LINES)].transpose(0, 2, 1).reshape(-1, width)
    down = picture[:, :: -(-width // _LINES)].transpose(1, 2, 0).reshape(-1, height)
    return Side(np.ascontiguousarray(down)), Side(np.ascontiguousarray(across))


def smaller(picture: Picture) -> Picture:
    """A picture halved or cut in three and so on, until tents are quickly looked for in it."""
    times = -(-max(picture.shape[:2]) // _LONGEST_OF_TENTS)
    if times == 1:
        return picture
    down = _blocks(np.ascontiguousarray(picture), times)
    return np.ascontiguousarray(_blocks(np.ascontiguousarray(down.transpose(1, 0, 2)), times).transpose(1, 0, 2))


def _blocks(picture: Picture, times: int) -> Picture:
    """The mean of each ``times`` lines or, where these do not come out even, of a little less."""
    side = len(picture)
    if side % times == 0:
        whole: Picture = picture.reshape(side // times, times, *picture.shape[1:]).mean(axis=1)
        return whole
    # Whole blocks only would lose the last lines and with them the exact ratio of the sides; so each is drawn anew.
    edges = np.arange(-(-side // times) + 1) * (side / -(-side // times))
    sums = np.concatenate([np.zeros((1, *picture.shape[1:])), picture.cumsum(axis=0, dtype=np.float64)])
    at = np.minimum(edges.astype(np.int64), len(picture) - 1)
    part = (edges - at)[:, None, None]
    ends = sums[at] * (1 - part) + sums[at + 1] * part
    means: Picture = (np.diff(ends, axis=0) / (edges[1] - edges[0])).astype(np.float32)
    return means


def likely_sizes(down: Side, across: Side, smooth: bool, most: int) -> list[Size]:
    """The sizes that stand out most, at most ``most``, best first; ``smooth`` looks for tents instead of boxes."""
    least = LEAST_PITCH_OF_TENTS if smooth else LEAST_PITCH
    rows, left_down = _curve(down, smooth, least)
    columns, left_across = _curve(across, smooth, least)
    if not len(rows) or not len(columns):
        return []
    dips = _dips(rows, left_down, left_down.min())[:, None] + _dips(columns, left_across, left_across.min())[None, :]
    tall, wide = down.length / rows[:, None], across.length / columns[None, :]
    # A side of so many cells was rounded to whole pixels, up or down.
    slack = 1 / np.minimum(down.length, across.length)
    square = np.abs(np.log(tall / wide)) <= STRETCH + slack
    exact = np.abs(tall - wide) <= 1 / rows[:, None] + 1 / columns[None, :]
    worth = np.where(square, dips - np.where(exact, 0, 0.3), -np.inf)
    order = np.argsort(-worth, axis=None, kind="stable")[: most * 4]
    found: list[Size] = []
    for place in order:
        i, j = np.unravel_index(place, worth.shape)
        if not np.isfinite(worth[i, j]) or len(found) == most:
            break
        if any(size.rows == rows[i] or size.columns == columns[j] for size in found):
            continue
        found.append(Size(int(rows[i]), int(columns[j]), float(worth[i, j]) / 2, smooth))
    return found


def _curve(side: Side, smooth: bool, least: float) -> tuple[NDArray[np.int64], Floats]:
    counts = np.arange(FEWEST, min(LARGEST_SIDE, int(side.length / least)) + 1)
    if smooth:
        return counts, np.array([side.left_by_tents(int(n)) for n in counts])
    edges = (np.rint(np.arange(n + 1) * (side.length / n)).astype(np.int64) for n in counts)
    return counts, np.array([side.left_by_boxes(edge) for edge in edges])


def _dips(counts: NDArray[np.int64], left: Floats, floor: float) -> Floats:
    """How far each size lies below the middle one of those close by, in nats."""
    logs: list[float] = np.log(left + _UNSEEN).tolist()
    dips = np.zeros(len(counts))
    for i, n in enumerate(counts.tolist()):
        reach = max(2, int(0.12 * n))
        # Of so few, sorting is ten times as quick as NumPy's median.
        near = sorted(logs[max(0, i - reach) : i] + logs[i + 1 : i + 1 + reach])
        if near:
            dips[i] = (near[(len(near) - 1) // 2] + near[len(near) // 2]) / 2 - logs[i]
    return dips
