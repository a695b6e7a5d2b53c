"""A wood for every colour of a picture, by CIEDE2000: different colours get different woods while woods last."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from planner.errors import PlannerError
from planner.picture.colour import Floats, ciede2000, srgb_to_lab

Rgb = tuple[int, int, int]
NEAREST_ASKED = 32


@dataclass(frozen=True, slots=True)
class Match:
    """``wood_of[i]`` is the wood for colour i and ``difference[i]`` how far off it is, in CIEDE2000."""

    wood_of: tuple[str, ...]
    difference: tuple[float, ...]


def match_colours(
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    counts: Sequence[int] | None = None,
    *,
    distinct: bool = True,
) -> Match:
    """Give every colour a wood. ``counts`` says how many cells wear each colour (alike when left out).

    With ``distinct``, the most worn colours, as many as there are woods, each get a wood of their own so that
    the sum of cells × difference is least; every further colour goes to its nearest wood. Raises PlannerError
    without woods.

    >>> match_colours([(240, 220, 190), (70, 50, 40)], {"birch": (226, 190, 132), "walnut": (84, 58, 43)}).wood_of
    ('birch', 'walnut')
    """
    if not woods:
        raise PlannerError("There are no woods on hand.", mend="Add the woods you have first.")
    if not colours:
        return Match((), ())
    names = list(woods)
    apart = ciede2000(srgb_to_lab(list(colours))[:, None, :], srgb_to_lab(list(woods.values()))[None, :, :])
    chosen = apart.argmin(axis=1)
    if distinct:
        weight = np.asarray(counts if counts is not None else [1] * len(colours), dtype=np.float64)
        first = np.argsort(-weight, kind="stable")[: len(names)]
        chosen[first] = _least_assignment(apart[first] * weight[first, None])
    return Match(tuple(names[k] for k in chosen), tuple(float(apart[i, k]) for i, k in enumerate(chosen)))


def nearest_colours(colours: Sequence[Rgb], among: Sequence[Rgb]) -> tuple[int, ...]:
    """For every colour, which of ``among`` is nearest by CIEDE2000. For tens of thousands of colours and hundreds
    to follow: the formula is asked only about the thirty-two nearest in CIELAB, a few thousand colours at a time.

    >>> nearest_colours([(250, 250, 250), (9, 9, 9)], [(0, 0, 0), (255, 255, 255)])
    (1, 0)
    """
    if not among:
        raise PlannerError("There are no colours to follow.", mend="Choose a wood for one at least.")
    goals = srgb_to_lab(list(among))
    found: list[int] = []
    for start in range(0, len(colours), 2048):
        labs = srgb_to_lab(list(colours[start : start + 2048]))
        flat = ((labs[:, None, :] - goals[None, :, :]) ** 2).sum(axis=-1)
        few = min(NEAREST_ASKED, len(goals))
        close = np.sort(np.argpartition(flat, few - 1, axis=1)[:, :few], axis=1)
        best = ciede2000(labs[:, None, :], goals[close]).argmin(axis=1)
        found += close[np.arange(len(labs)), best].tolist()
    return tuple(found)


def _least_assignment(cost: Floats) -> list[int]:
    """For each row a column of its own so that the sum is least (shortest augmenting paths, after H. W. Kuhn
    and J. Munkres). Rows must not outnumber columns."""
    rows, columns = cost.shape
    row_price, column_price = np.zeros(rows + 1), np.zeros(columns + 1)
    owner = np.zeros(columns + 1, dtype=np.int64)
    for row in range(1, rows + 1):
        owner[0] = row
        column = 0
        least = np.full(columns + 1, np.inf)
        came_from = np.zeros(columns + 1, dtype=np.int64)
        done = np.zeros(columns + 1, dtype=bool)
        while owner[column]:
            done[column] = True
            here = owner[column]
            slack = cost[here - 1] - row_price[here] - column_price[1:]
            better = ~done[1:] & (slack < least[1:])
            least[1:][better] = slack[better]
            came_from[1:][better] = column
            step_to = int(np.argmin(np.where(done[1:], np.inf, least[1:]))) + 1
            step = least[step_to]
            row_price[owner[done]] += step
            column_price[done] -= step
            least[~done] -= step
            column = step_to
        while column:
            owner[column] = owner[came_from[column]]
            column = int(came_from[column])
    result = [0] * rows
    for column in range(1, columns + 1):
        if owner[column]:
            result[owner[column] - 1] = column - 1
    return result
