"""Where a picture melts in the woods chosen: woods that are hard to tell apart side by side, and edges inside one."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.matching.nearest import Rgb
from planner.matching.neighbours import neighbours_of
from planner.matching.scores import EDGE_FROM
from planner.picture.colour import ciede2000, srgb_to_lab


@dataclass(frozen=True, slots=True)
class Melting:
    """``one`` and ``other`` touch along ``sides`` cell sides and are ``difference`` apart (CIEDE2000). None stands
    for the background. Where they are the same wood, ``colours`` are the pairs of colours whose edge is lost in it,
    the longest first."""

    one: str | None
    other: str | None
    sides: int
    difference: float
    colours: tuple[tuple[int, int], ...] = ()


def melting(
    cells: NDArray[np.int64],
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    wood_of: Sequence[str | None],
    *,
    background_rgb: Rgb | None = None,
) -> tuple[Melting, ...]:
    """Every two woods that touch and differ by less than CIEDE2000 8, and every wood that swallows an edge of the
    picture, most sides first. ``cells`` rows × columns of colour indices, -1 background; ``wood_of[i]`` the wood of
    colour i, None where it is left to the background, whose wood has ``background_rgb``.

    >>> found = melting(np.array([[0, 1, 2]]), [(250, 250, 250), (9, 9, 9), (90, 90, 90)],
    ...                 {"a": (226, 190, 132), "b": (226, 201, 157)}, ["a", "a", "b"])
    >>> [(one.one, one.other, one.sides, one.colours) for one in found]
    [('a', 'a', 1, ((0, 1),)), ('a', 'b', 1, ())]
    """
    near = neighbours_of(cells, len(colours))
    labs = srgb_to_lab(np.array(list(colours), dtype=np.float64).reshape(-1, 3))
    pairs = near.pairs.tolist()
    differ = ciede2000(labs[near.pairs[:, 0]], labs[near.pairs[:, 1]]).tolist()
    touching: dict[tuple[str | None, str | None], int] = defaultdict(int)
    inside: dict[str, list[tuple[int, tuple[int, int]]]] = defaultdict(list)
    for (i, j), sides, apart in zip(pairs, near.sides.tolist(), differ, strict=True):
        one, other = wood_of[i], wood_of[j]
        if one != other:
            touching[_in_order(one, other)] += sides
        elif one is not None and apart >= EDGE_FROM:
            inside[one].append((sides, (i, j)))
    for i, sides in enumerate(near.outline.tolist()):
        if wood_of[i] is not None and sides:
            touching[_in_order(wood_of[i], None)] += sides
    found = [
        Melting(wood, wood, sum(sides for sides, _ in lost), 0.0, tuple(pair for _, pair in sorted(lost, reverse=True)))
        for wood, lost in inside.items()
    ]
    for (one, other), sides in touching.items():
        rgb = [background_rgb if wood is None else woods[wood] for wood in (one, other)]
        if rgb[0] is None or rgb[1] is None:
            continue
        apart = float(ciede2000(srgb_to_lab(rgb[0]), srgb_to_lab(rgb[1])))
        if apart < EDGE_FROM:
            found.append(Melting(one, other, sides, apart))
    return tuple(sorted(found, key=lambda melt: (-melt.sides, str(melt.one), str(melt.other))))


def _in_order(one: str | None, other: str | None) -> tuple[str | None, str | None]:
    """A pair with the background last, else by name."""
    if one is None or (other is not None and other < one):
        return other, one
    return one, other
