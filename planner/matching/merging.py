"""Near colours made one before woods are chosen, as far as the maker says."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from planner.errors import PlannerError
from planner.matching.nearest import Rgb
from planner.picture.colour import ciede2000, srgb_to_lab


def merge_near(colours: Sequence[Rgb], counts: Sequence[int], within: float) -> tuple[int, ...]:
    """For every colour the index of the colour it joins, itself when it stays.

    Colours take their turn in the order of ``counts``, most worn first. One that is within ``within`` (CIEDE2000) of
    some that stay joins the nearest of those; any other stays. So no colour is ever joined to one farther than
    ``within``, however many lie between, nor to one less worn. Raises PlannerError when ``within`` is below 0, or
    there is not one count a colour.

    >>> merge_near([(250, 250, 250), (244, 244, 244), (10, 10, 10)], [5, 9, 3], within=4)
    (1, 1, 2)
    """
    if len(colours) != len(counts):
        raise PlannerError(f"There are {len(colours)} colours and {len(counts)} counts.", mend="Give one a colour.")
    if not within >= 0:
        raise PlannerError("Colours cannot be nearer than alike.", mend="Write 0 or more.", field="within")
    if not colours:
        return ()
    labs = srgb_to_lab(np.array(list(colours), dtype=np.float64))
    nearest = np.arange(len(colours))
    distance = np.full(len(colours), np.inf)
    for i in np.argsort(-np.asarray(counts), kind="stable").tolist():
        if distance[i] <= within:
            # Its turn is over: whoever stays after it is less worn.
            distance[i] = -1.0
            continue
        apart = ciede2000(labs, labs[i])
        nearer = apart < distance
        nearest[nearer], distance[nearer] = i, apart[nearer]
        nearest[i], distance[i] = i, -1.0
    return tuple(nearest.tolist())


def merged(joins: Sequence[int]) -> tuple[tuple[int, ...], ...]:
    """The groups that come of ``merge_near``, each with the colour that stays first, in its order.

    >>> merged((1, 1, 2))
    ((1, 0), (2,))
    """
    return tuple((i, *(k for k, to in enumerate(joins) if to == i and k != i)) for i, to in enumerate(joins) if i == to)
