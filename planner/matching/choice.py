"""The choice of woods for a picture: one legible assignment, and others from true to the colours to true to the
shapes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from planner.matching.nearest import Rgb
from planner.matching.task import Choice, Task

SUGGESTED_PRICE = 0.25
# Places on the line that are tried for alternatives; farther out, colours are given up for ever less.
LINE = (0.0, 0.06, 0.12, SUGGESTED_PRICE, 0.4, 0.6)
MOST_ALTERNATIVES = 4
# Two choices are told apart when so large a share of the cells wears another wood.
TOLD_APART = 0.01
NOTHING_PINNED: Mapping[int, str | None] = MappingProxyType({})


def choose_woods(
    cells: NDArray[np.int64],
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    *,
    shape_price: float = SUGGESTED_PRICE,
    pinned: Mapping[int, str | None] = NOTHING_PINNED,
    barred: Collection[str] = (),
    background_rgb: Rgb | None = None,
) -> Choice:
    """A wood for every colour of a picture, so that it can still be read.

    ``cells`` rows × columns of colour indices, -1 for background; ``woods`` finished colours by id; ``pinned`` the
    wood a colour must have (None to leave it to the background); ``barred`` woods not to use; ``background_rgb`` the
    finished colour of the wood behind the picture, from which its outline must be told. Raises PlannerError when
    there are no woods, all are barred, or a pinned one is barred or not among them.

    >>> choose_woods(np.array([[0, 1]]), [(240, 220, 190), (70, 50, 40)],
    ...              {"birch": (226, 190, 132), "walnut": (84, 58, 43)}).wood_of
    ('birch', 'walnut')
    """
    return Task(cells, colours, woods, pinned, barred, background_rgb).solve(shape_price)


def alternatives(
    cells: NDArray[np.int64],
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    *,
    pinned: Mapping[int, str | None] = NOTHING_PINNED,
    barred: Collection[str] = (),
    background_rgb: Rgb | None = None,
) -> tuple[Choice, ...]:
    """Up to four choices that differ to the eye, from true to the colours to true to the shapes; ``suggested`` says
    which to begin with. Fewer where the picture leaves no more to choose. Arguments and errors as ``choose_woods``.

    >>> woods = {"birch": (226, 190, 132), "walnut": (84, 58, 43)}
    >>> [one.shape_price for one in alternatives(np.array([[0, 1]]), [(240, 220, 190), (70, 50, 40)], woods)]
    [0.25]
    """
    task = Task(cells, colours, woods, pinned, barred, background_rgb)
    line = [task.solve(price) for price in LINE]
    kept = [line.pop(LINE.index(SUGGESTED_PRICE))]
    # The two ends first, then whichever differs most from those kept; none that the eye could not tell from another.
    for ends in ([line[0]], [line[-1]], line, line):
        differ = [min(task.apart(one, other) for other in kept) for one in ends]
        most = int(np.argmax(differ))
        if differ[most] >= TOLD_APART and len(kept) < MOST_ALTERNATIVES:
            kept.append(ends[most])
    return tuple(sorted(kept, key=lambda one: one.shape_price))


def suggested(choices: Sequence[Choice]) -> int:
    """Which of ``choices`` to begin with: the one nearest to the price that reads best by eye.

    >>> from planner.matching.scores import Scores
    >>> scores = Scores(1.0, 1.0, 0.0, 0.0)
    >>> suggested([Choice((), scores, 0.0), Choice((), scores, 0.25), Choice((), scores, 0.6)])
    1
    """
    return min(range(len(choices)), key=lambda i: abs(choices[i].shape_price - SUGGESTED_PRICE))
