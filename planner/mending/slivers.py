"""Slivers: pieces one tile long between longer runs, upright lines one tile wide, and rows that end in one tile.

Each is a piece cut by itself, with end grain at both ends: two crosscuts and two joints a row. A line one tile tall
is no sliver: it is one long run, and long grain is what a board wants.
"""

from __future__ import annotations

import numpy as np

from planner.mending.hint import (
    MOST_SORTS,
    OUTSIDE,
    Cells,
    Hint,
    Lay,
    Lengths,
    Mask,
    Mend,
    Names,
    Place,
    capital,
    cells_where,
    counted,
    listed,
    numbers_of,
    rest_of,
    run_lengths,
    sorted_out,
    wood_of,
)
from planner.mending.loose import loose_mask
from planner.pattern import Pattern

# From so many tiles upwards an upright line was drawn on purpose (common practice, no source).
UPRIGHT = 4


def slivers(pattern: Pattern, names: Names) -> list[Hint]:
    """Short pieces and upright lines, once for each wood; rows that end in a single tile, once for each wood."""
    cells = numbers_of(pattern)
    if cells.shape[1] < 3:
        return []
    lengths = run_lengths(cells)
    loose = loose_mask(cells)
    short = sliver_mask(cells) & ~loose
    # How many slivers of one wood stand on each other.
    tall = run_lengths(np.ascontiguousarray(np.where(short, cells, OUTSIDE).T)).T
    ends = end_mask(cells) & ~loose
    return [
        *_short(pattern, names, cells, short & (tall < UPRIGHT), lengths),
        *_upright(pattern, names, cells, short & (tall >= UPRIGHT), lengths),
        *_ends(pattern, names, cells, ends),
    ]


def sliver_mask(cells: Cells) -> Mask:
    """Which cells are a run of one between two runs of at least two."""
    lengths = run_lengths(cells)
    found = np.zeros(cells.shape, dtype=bool)
    found[:, 1:-1] = (lengths[:, 1:-1] == 1) & (lengths[:, :-2] > 1) & (lengths[:, 2:] > 1)
    return found


def end_mask(cells: Cells) -> Mask:
    """Which cells are a tile of wood that ends its row by itself, beside a longer run. Background at a row's end is
    one piece with its side border, and no sliver."""
    lengths = run_lengths(cells)
    found = np.zeros(cells.shape, dtype=bool)
    found[:, 0] = (lengths[:, 0] == 1) & (lengths[:, 1] > 1) & (cells[:, 0] > 0)
    found[:, -1] = (lengths[:, -1] == 1) & (lengths[:, -2] > 1) & (cells[:, -1] > 0)
    return found


def _longer_side(lengths: Lengths, row: int, column: int) -> int:
    """-1 when the run at the left is the longer one or as long, else 1."""
    return -1 if lengths[row, column - 1] >= lengths[row, column + 1] else 1


def _told(pattern: Pattern, names: Names, cells: Cells, mask: Mask) -> list[tuple[str, list[Place]]]:
    """Cells by the name of their wood, the rarer woods together."""
    sorts = sorted_out(mask, cells)
    told = [(names.of(wood_of(pattern, key[0])), places) for key, places in sorts[:MOST_SORTS]]
    if others := rest_of(sorts):
        told.append(("other woods", others))
    return told


def _short(pattern: Pattern, names: Names, cells: Cells, short: Mask, lengths: Lengths) -> list[Hint]:
    return [
        Hint(
            "sliver",
            f"{capital(counted(len(places), 'piece', 'pieces'))} of {name} one tile long between longer runs, "
            f"{listed('row', (r + 1 for r, _ in places))}: two crosscuts and two end-grain joints for a tile.",
            tuple(places),
            Mend(
                "Let the longer run beside it go on",
                tuple(Lay(r, c, pattern.cell(r, c + _longer_side(lengths, r, c))) for r, c in places),
            ),
        )
        for name, places in _told(pattern, names, cells, short)
    ]


def _upright(pattern: Pattern, names: Names, cells: Cells, upright: Mask, lengths: Lengths) -> list[Hint]:
    # A line is widened to one side along its whole length, or it would come out ragged.
    lean: dict[tuple[int, int], int] = {}
    for r, c in cells_where(upright):
        key = (c, int(cells[r, c]))
        lean[key] = lean.get(key, 0) + _longer_side(lengths, r, c)

    def wider(place: Place) -> Lay:
        row, column = place
        side = -1 if lean[column, int(cells[place])] <= 0 else 1
        return Lay(row, column + side, pattern.cell(row, column))

    return [
        Hint(
            "sliver",
            f"{capital(name)} {'stand' if name == 'other woods' else 'stands'} upright one tile wide, "
            f"{listed('column', (c + 1 for _, c in places))}: {counted(len(places), 'piece', 'pieces')} one tile "
            "long, with only end grain at both sides.",
            tuple(places),
            Mend("Make it two tiles wide, towards the longer runs", tuple(map(wider, places))),
        )
        for name, places in _told(pattern, names, cells, upright)
    ]


def _ends(pattern: Pattern, names: Names, cells: Cells, ends: Mask) -> list[Hint]:
    beside = cells.shape[1] - 2
    found = []
    for name, places in _told(pattern, names, cells, ends):
        rows = {r + 1 for r, _ in places}
        found.append(
            Hint(
                "sliver",
                f"{capital(listed('row', rows))} {'ends' if len(rows) == 1 else 'end'} in a single tile of {name}: "
                "short at the very end, where it is held by end grain on one side only.",
                tuple(places),
                Mend(
                    "Let the run beside it go on to the edge",
                    tuple(Lay(r, c, pattern.cell(r, 1 if c == 0 else beside)) for r, c in places),
                ),
            )
        )
    return found
