"""Single tiles: a tile whose wood touches none of its own on its four sides."""

from __future__ import annotations

import numpy as np

from planner.mending.hint import (
    MOST_SORTS,
    OUTSIDE,
    Cells,
    Hint,
    Lay,
    Mask,
    Mend,
    Names,
    Place,
    capital,
    counted,
    listed,
    numbers_of,
    rest_of,
    sorted_out,
    wood_of,
)
from planner.pattern import Pattern


def loose_tiles(pattern: Pattern, names: Names) -> list[Hint]:
    """Single tiles, gathered so that each sort is told once.

    A single tile is *laid by turns* when it is of a chequered field (see ``chequered``); else it *meets its own only
    at a corner* when a slanting neighbour is of its wood; else it stands *alone*.
    A hole of one cell of background is single too: it becomes a piece of the border wood.
    """
    cells = numbers_of(pattern)
    around = neighbours(cells)
    loose = loose_mask(cells)
    turns = chequered(cells, loose)
    slant = loose & ~turns & _own_at_a_corner(cells)
    alone = loose & ~turns & ~slant
    most = _most_around(around)
    return [
        *_alone(pattern, names, cells, alone, most),
        *_slanting(pattern, names, cells, slant),
        *_by_turns(pattern, names, cells, turns, most),
    ]


def loose_mask(cells: Cells) -> Mask:
    """Which cells have at least one neighbour and none of their own wood on four sides."""
    around = neighbours(cells)
    loose: Mask = ~(around == cells).any(axis=0) & (around != OUTSIDE).any(axis=0)
    return loose


def neighbours(cells: Cells) -> Cells:
    """The left, right, upper and lower neighbour of every cell: four layers, OUTSIDE beyond the edge."""
    padded = np.pad(cells, 1, constant_values=OUTSIDE)
    return np.stack([padded[1:-1, :-2], padded[1:-1, 2:], padded[:-2, 1:-1], padded[2:, 1:-1]])


def chequered(cells: Cells, loose: Mask) -> Mask:
    """Single tiles of squares of four that two woods fill by turns, three of them single: the field's rim may touch
    its own wood outside. A single tile that touches such a one of its wood at a corner is of the field too."""
    upper, lower = cells[:-1], cells[1:]
    by_turns = (upper[:, :-1] == lower[:, 1:]) & (upper[:, 1:] == lower[:, :-1]) & (upper[:, :-1] != upper[:, 1:])
    few = loose.astype(np.int16)
    square = by_turns & (few[:-1, :-1] + few[:-1, 1:] + few[1:, :-1] + few[1:, 1:] >= 3)
    found = np.zeros(cells.shape, dtype=bool)
    for rows in (slice(None, -1), slice(1, None)):
        for columns in (slice(None, -1), slice(1, None)):
            found[rows, columns] |= square
    return loose & (found | _own_at_a_corner(cells, found & loose))


def _most_around(around: Cells) -> Cells:
    """What lies on most sides of every cell; of equals the one in its own row, which it would join to one run."""
    alike = (around[:, None] == around[None]).sum(axis=1)
    alike[around == OUTSIDE] = 0
    most: Cells = np.take_along_axis(around, alike.argmax(axis=0)[None], axis=0)[0]
    return most


def _own_at_a_corner(cells: Cells, among: Mask | None = None) -> Mask:
    """Which cells have their own wood at a corner, of the cells ``among`` if given."""
    there = cells if among is None else np.where(among, cells, OUTSIDE)
    padded = np.pad(there, 1, constant_values=OUTSIDE)
    corners = [padded[:-2, :-2], padded[:-2, 2:], padded[2:, :-2], padded[2:, 2:]]
    touching: Mask = np.any([corner == cells for corner in corners], axis=0)
    return touching


def _alone(pattern: Pattern, names: Names, cells: Cells, alone: Mask, most: Cells) -> list[Hint]:
    def lay(places: list[Place]) -> tuple[Lay, ...]:
        return tuple(Lay(r, c, wood_of(pattern, int(most[r, c]))) for r, c in places)

    sorts = sorted_out(alone, cells, most)
    found = []
    for (number, other), places in sorts[:MOST_SORTS]:
        one = len(places) == 1
        what = "A single tile" if one else f"{len(places)} single tiles"
        rest = names.of(wood_of(pattern, other))
        found.append(
            Hint(
                "single",
                f"{what} of {names.of(wood_of(pattern, number))} in {rest}, {_where(places)}: "
                + ("a piece by itself; leave it if it is meant, as an eye is." if one else MEANT),
                tuple(places),
                Mend(f"Lay {rest} there", lay(places)),
            )
        )
    if others := rest_of(sorts):
        words = f"{capital(counted(len(others), 'single tile', 'single tiles'))} of other woods: {MEANT}"
        found.append(Hint("single", words, tuple(others), Mend("Lay what lies around each", lay(others))))
    return found


MEANT = "each is a piece by itself; leave them if they are meant, as eyes are."


def _where(places: list[Place]) -> str:
    if len(places) == 1:
        row, column = places[0]
        return f"row {row + 1}, column {column + 1}"
    return listed("row", (row + 1 for row, _ in places))


def _slanting(pattern: Pattern, names: Names, cells: Cells, slant: Mask) -> list[Hint]:
    sorts = sorted_out(slant, cells)
    told = [(names.of(wood_of(pattern, key[0])), places) for key, places in sorts[:MOST_SORTS]]
    if others := rest_of(sorts):
        told.append(("other woods", others))
    return [
        Hint(
            "single",
            f"{capital(counted(len(places), 'tile', 'tiles'))} of {name} "
            f"{'meets its' if len(places) == 1 else 'meet their'} own only at a corner, {_where(places)}: corners "
            f"are not glued, and {'it is' if len(places) == 1 else 'each is'} a piece by itself.",
            tuple(places),
            Mend(
                "Lay one more beside each, so that they meet edge to edge",
                tuple(Lay(r, c, wood_of(pattern, number)) for (r, c), number in sorted(_steps(cells, places).items())),
            ),
        )
        for name, places in told
    ]


def _steps(cells: Cells, places: list[Place]) -> dict[Place, int]:
    """A cell beside every tile that makes it a run of two and reaches its own wood over the corner; the first to ask
    for a cell has it."""
    height, width = cells.shape
    chosen: dict[Place, int] = {}
    for row, column in places:
        number = int(cells[row, column])
        for down, right in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
            r, c = row + down, column + right
            if 0 <= r < height and 0 <= c < width and cells[r, c] == number:
                chosen.setdefault((row, c), number)
                break
    return chosen


def _by_turns(pattern: Pattern, names: Names, cells: Cells, turns: Mask, most: Cells) -> list[Hint]:
    sorts = sorted_out(turns, np.minimum(cells, most), np.maximum(cells, most))
    found = []
    for (first, second), places in sorts[:MOST_SORTS]:
        # The wood the picture has more of stays, unless no tile of the field is of the other one.
        rarer = first if (cells == first).sum() < (cells == second).sum() else second
        fewer = rarer if any(cells[place] == rarer for place in places) else first + second - rarer
        more = first + second - fewer
        wood = wood_of(pattern, more)
        a, b = names.of(wood), names.of(wood_of(pattern, fewer))
        anew = [place for place in places if cells[place] == fewer]
        found.append(
            Hint(
                "single",
                f"{capital(counted(len(places), 'tile', 'tiles'))} of {a} and {b} laid by turns, {_where(places)}: a "
                "piece for each "
                "tile where runs could lie; leave it if the pattern is meant.",
                tuple(places),
                Mend(f"Lay {a} throughout", tuple(Lay(r, c, wood) for r, c in anew)),
            )
        )
    if others := rest_of(sorts):
        found.append(
            Hint(
                "single",
                f"{capital(counted(len(others), 'tile', 'tiles'))} of other woods laid by turns: a piece for each tile "
                "where runs could lie; leave it if the pattern is meant.",
                tuple(others),
                Mend(
                    "Let every second one follow its neighbour",
                    tuple(Lay(r, c, wood_of(pattern, int(most[r, c]))) for r, c in others if (r + c) % 2),
                ),
            )
        )
    return found
