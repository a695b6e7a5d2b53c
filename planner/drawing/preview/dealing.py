"""Which strip each piece of a board is cut from, and where in it.

Pieces of one wood and width are cut as a maker cuts them: longest first, those of one length in the order they lie, one
after another with a saw kerf between, until a strip is used up (common practice, no source). Neighbours of one length
are therefore neighbours in their strip, and what is cut from one strip has its tone and goes on in its grain.

Slices come off a panel one after another, so that its strips show nearly the same end grain in each of them, a little
moved from one to the next because grain never runs quite true to the strip.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

# How long a strip is at the most, unless a piece is longer, and what the saw takes between two pieces; millimetres.
# Both are starting assumptions: a record does not say which strip a piece came from.
STRIP = 700.0
KERF = 3.0
# Grain runs out of a straight strip by so much at the most, and how far a slice's picture may move in all, in mm.
RUN_OUT = 0.015
MOST_MOVED = 1.5


@dataclass(frozen=True, slots=True)
class Dealt:
    """Of n pieces: ``strip`` a number into m strips, ``at`` where in it what one sees of the piece begins, ``across``
    how far it lies from the strip's first edge, ``turned`` whether it is turned end for end. Of m strips: ``wood``,
    ``width`` and ``length``, what one sees of them. Lengths in mm, along the row and across it.
    """

    strip: Ints
    at: Floats
    across: Floats
    turned: NDArray[np.bool_]
    wood: Ints
    width: Floats
    length: Floats


def deal_rows(wood: Ints, long: Floats, deep: Floats, seen: Floats, trimmed: Floats) -> Dealt:
    """Deal pieces of rows: their ``wood``, place along and across the row, what is ``seen`` of them across, and what is
    ``trimmed`` off at their beginning.

    >>> deep = np.full(3, 20.0)
    >>> dealt = deal_rows(np.array([0, 0, 0]), np.array([20.0, 60, 20]), deep, deep, np.zeros(3))
    >>> dealt.strip.tolist(), dealt.at.tolist(), dealt.length.tolist()
    ([0, 0, 0], [63.0, 0.0, 86.0], [106.0])
    """
    count = len(wood)
    strip, at = np.zeros(count, dtype=np.int64), np.zeros(count)
    woods: list[int] = []
    widths: list[float] = []
    lengths: list[float] = []
    # Longest first within a wood and width; what is equal stays in the order it lies.
    order = np.lexsort((np.arange(count), -long.round(3), deep.round(3), wood))
    kinds = np.column_stack([wood, (deep * 1000).round()])
    last: tuple[float, ...] | None = None
    for n in order.tolist():
        kind, size = tuple(kinds[n].tolist()), float(long[n])
        if kind != last or lengths[-1] + KERF + size > max(STRIP, size):
            last = kind
            woods.append(int(wood[n]))
            widths.append(0.0)
            lengths.append(-KERF)
        at[n] = lengths[-1] + KERF
        strip[n] = len(lengths) - 1
        lengths[-1] = at[n] + size
        widths[-1] = max(widths[-1], float(seen[n]))
    none = np.zeros(count)
    return Dealt(
        strip, at + trimmed, none, none.astype(bool), np.array(woods), np.array(widths), np.array(lengths)
    )  # fmt: skip


def deal_slices(
    rows: Sequence[tuple[Sequence[int], int, bool]],
    panels: Sequence[tuple[int, int, float]],
    boxes: Floats,
    wood: Ints,
) -> Dealt:
    """Deal slices of panels: ``rows`` of parts with their panel and whether turned, in the order of ``boxes`` and
    ``wood``; of each panel its number, how many slices one holds, and how thick a slice is."""
    holds = {number: (slices, thick) for number, slices, thick in panels}
    taken: dict[int, int] = {}
    numbers: dict[tuple[int, int, int], int] = {}
    strip, moved, turned = [], [], []
    for parts, panel, back in rows:
        slices, thick = holds[panel]
        nth = taken.get(panel, 0)
        taken[panel] = nth + 1
        copy, of_copy = divmod(nth, max(1, slices))
        for place in range(len(parts)):
            in_panel = len(parts) - 1 - place if back else place
            strip.append(numbers.setdefault((panel, copy, in_panel), len(numbers)))
        moved += [min(of_copy * thick * RUN_OUT, MOST_MOVED)] * len(parts)
        turned += [back] * len(parts)
    strips, away = np.array(strip), np.array(moved)
    seen = np.column_stack([boxes[:, 2] - boxes[:, 0], boxes[:, 3] - boxes[:, 1]])
    size = np.zeros((len(numbers), 2))
    np.maximum.at(size, strips, seen + away[:, None])
    woods = np.zeros(len(numbers), dtype=np.int64)
    woods[strips] = wood
    return Dealt(strips, away, away, np.array(turned), woods, size[:, 1], size[:, 0])
