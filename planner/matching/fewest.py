"""How few woods would do for a picture, and what one more would buy."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from math import comb

import numpy as np
from numpy.typing import NDArray

from planner.errors import PlannerError
from planner.matching.choice import NOTHING_PINNED, SUGGESTED_PRICE
from planner.matching.nearest import Rgb
from planner.matching.search import best_choice, costs_of, descend
from planner.matching.task import Choice, Task

# From here on a picture counts as legible, by eye.
LEGIBLE, IN_ORDER = 0.75, 0.7
# Counts of woods asked after: with more, a board is told by its colours anyway.
MOST_COUNTED = 8
# Sets of woods times places descended from at once.
MOST_WEIGHED = 400_000
# Sets of each count that are then searched as well as the whole is.
WEIGHED_WELL = 2

Woods = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Fewer:
    """The best choice found with ``count`` woods, whether the picture is ``legible`` in it, and how much more
    legibility it keeps than the best with one wood fewer."""

    count: int
    choice: Choice
    legible: bool
    gained: float


def fewest_woods(
    cells: NDArray[np.int64],
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    *,
    pinned: Mapping[int, str | None] = NOTHING_PINNED,
    barred: Collection[str] = (),
    background_rgb: Rgb | None = None,
    shape_price: float = SUGGESTED_PRICE,
) -> tuple[Fewer, ...]:
    """For two woods, three and so on up to eight, as far as one more still lowers the cost: the best choice found.

    The first that is ``legible`` has the least woods that keep the picture to be read; ``gained`` says what one more
    buys. Pinned woods are always among them. Arguments and errors as ``choose_woods``.

    >>> found = fewest_woods(np.array([[0, 1]]), [(240, 220, 190), (70, 50, 40)],
    ...                      {"birch": (226, 190, 132), "walnut": (84, 58, 43), "padauk": (180, 58, 26)})
    >>> [(one.count, one.choice.woods, one.legible) for one in found]
    [(2, ('birch', 'walnut'), True)]
    """
    return _fewer(Task(cells, colours, woods, pinned, barred, background_rgb), shape_price)


def _fewer(task: Task, price: float) -> tuple[Fewer, ...]:
    if price <= 0:
        raise PlannerError("Without a price of the shapes no wood keeps them.", mend="Choose one above 0.")
    held = set(task.held.values())
    unlimited = task.solve(price)
    most = max(len(held), len(unlimited.woods), 1)
    found: list[Fewer] = []
    sets: list[Woods] = []
    for count in range(max(len(held), min(2, most)), min(most, max(len(held), MOST_COUNTED)) + 1):
        if count == len(unlimited.woods):
            choice = unlimited
        else:
            sets = _best_sets(task, price, count, held, sets)
            choice = min((_within(task, price, woods) for woods in sets[:WEIGHED_WELL]), key=lambda pair: pair[0])[1]
        if found and len(choice.woods) <= len(found[-1].choice.woods):
            # One more wood was offered and none was taken.
            continue
        kept = choice.scores
        before = found[-1].choice.scores.legibility if found else 0.0
        legible = kept.legibility >= LEGIBLE and kept.order >= IN_ORDER
        found.append(Fewer(count, choice, legible, kept.legibility - before))
    return tuple(found)


def _within(task: Task, price: float, woods: Woods) -> tuple[float, Choice]:
    """The best choice among ``woods`` only, with its cost."""
    problem = task.problem(price, woods)
    starts = np.where(problem.open, problem.alone, np.inf).argmin(axis=1)[None]
    found = best_choice(problem, starts)
    return float(costs_of(problem, found[None])[0]), task.choice(np.array(woods)[found], price)


def _best_sets(task: Task, price: float, count: int, held: set[int], before: Sequence[Woods]) -> list[Woods]:
    """Sets of ``count`` woods with those ``held``, best first: every set where they are few, else those one wood
    away from the best of one wood fewer."""
    free = [k for k in range(len(task.names)) if k not in held]
    wanted = count - len(held)
    every = comb(len(free), wanted)
    most = max(64, MOST_WEIGHED // task.open.size)
    if every <= most or not before:
        sets = [tuple(sorted((*held, *more))) for more in islice(combinations(free, wanted), most)]
    else:
        sets = sorted({tuple(sorted((*one, k))) for one in before[:8] for k in free if k not in one})[:most]
    ranked = _ranked(task, price, sets)
    while every > most:
        # The best with one wood exchanged, as long as that helps.
        best = ranked[0]
        turned = {tuple(sorted({*best, k} - {out})) for out in best if out not in held for k in free if k not in best}
        ranked = _ranked(task, price, sorted(turned | set(ranked[:8])))
        if ranked[0] == best:
            break
    return ranked


def _ranked(task: Task, price: float, sets: Sequence[Woods]) -> list[Woods]:
    """``sets`` by the cost of a quick descent in each."""
    problem = task.problem(price)
    allowed = np.zeros((len(sets), len(task.names)), dtype=bool)
    for row, woods in enumerate(sets):
        allowed[row, list(woods)] = True
    starts = np.where(problem.open[None] & allowed[:, None, :], problem.alone[None], np.inf).argmin(axis=2)
    costs = costs_of(problem, descend(problem, starts, allowed))
    return [sets[i] for i in np.argsort(costs, kind="stable").tolist()]
