"""What lies there: free pieces of one wood as rough lengths, in the one order they are taken in."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from planner.shop import Shop
from planner.shorts.whole import NM, Marks, Whole, up

# A free piece: a key of the caller's, wood, thickness, width and length in whole nanometres, whether it is surfaced.
Piece = tuple[int, str, int, int, int, bool | int]


@dataclass(frozen=True, slots=True, eq=False)
class Shelf:
    """Free pieces of one wood as rough lengths, the shortest and of equals the narrowest first; arrays run alike.

    ``first`` marks one of each piece. ``pieces`` counts all of them, ``too_short`` those of which nothing is as long
    as the shop feeds to a machine."""

    keys: Whole
    rough: Whole
    width: Whole
    thickness: Whole
    surfaced: Marks
    first: Marks
    pieces: int
    too_short: int


_NONE = np.zeros(0, dtype=np.int64)
_NO_MARK = np.zeros(0, dtype=np.bool_)
NO_SHELF = Shelf(_NONE, _NONE, _NONE, _NONE, _NO_MARK, _NO_MARK, 0, 0)


def shelves(pieces: Iterable[Piece], shop: Shop) -> dict[str, Shelf]:
    """The pieces by wood. A piece longer than the longest that is ripped is crosscut into such lengths and the rest."""
    by_wood: dict[str, list[Piece]] = defaultdict(list)
    for piece in pieces:
        by_wood[piece[1]].append(piece)
    return {wood: _shelf(ones, shop) for wood, ones in by_wood.items()}


def _shelf(pieces: list[Piece], shop: Shop) -> Shelf:
    keys, thickness, width, length = (
        np.array([piece[side] for piece in pieces], dtype=np.int64) for side in (0, 2, 3, 4)
    )
    surfaced = np.array([piece[5] for piece in pieces], dtype=np.bool_)
    longest, kerf = int(shop.longest_rip.mm * NM), up(shop.crosscut_kerf)
    whole = (length + kerf) // (longest + kerf)
    rest = length - whole * (longest + kerf)
    # Each piece gives so many of the longest, and one of what is left.
    owner = np.concatenate([np.repeat(np.arange(len(pieces)), whole), np.arange(len(pieces))])
    rough = np.concatenate([np.full(int(whole.sum()), longest, dtype=np.int64), rest])
    safe = rough >= up(shop.shortest_machined)
    owner, rough = owner[safe], rough[safe]
    order = np.lexsort((keys[owner], width[owner], rough))
    owner, rough = owner[order], rough[order]
    first = np.zeros(len(owner), dtype=np.bool_)
    first[np.unique(owner, return_index=True)[1]] = True
    return Shelf(
        keys[owner],
        rough,
        width[owner],
        thickness[owner],
        surfaced[owner],
        first,
        len(pieces),
        len(pieces) - int(first.sum()),
    )
