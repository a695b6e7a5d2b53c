"""The least of a cost over choices of woods: every way looked at where they are few, else many starts descended from.

A choice gives each of n colours one of m woods. Its cost is the sum over colours of ``alone[i, k]`` and over pairs
of colours of ``joint[i, k, j, l]``. Descent takes the best single change until there is none, for many starts at
once; the best end is then tried with every change of two colours together and with every two woods exchanged
throughout. Equal input, equal result: the starts are laid out, not drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from planner.picture.colour import Floats

Choices = NDArray[np.int64]
# Beyond any cost a picture can have; what is not allowed costs this much.
NEVER = 1e12
# Every way is looked at up to so many.
FEW_WAYS = 20_000
# Changes of two colours at once are tried where all of them fit into this many numbers.
MOST_PAIRED = 1_500_000
_WORTH = 1e-9
_GOLDEN = 0.6180339887498949


@dataclass(frozen=True, slots=True)
class Problem:
    """``alone`` n × m; ``joint`` (n·m) × (n·m), symmetric, zero within a colour; ``open`` n × m, bool: allowed."""

    alone: Floats
    joint: Floats
    open: NDArray[np.bool_]

    @property
    def colours(self) -> int:
        return int(self.alone.shape[0])

    @property
    def woods(self) -> int:
        return int(self.alone.shape[1])


def costs_of(problem: Problem, choices: Choices) -> Floats:
    """The cost of each row of ``choices`` (r × n)."""
    places = _places(problem, choices)
    costs = problem.alone.ravel()[places].sum(axis=1)
    for row, at in enumerate(places):
        costs[row] += problem.joint[np.ix_(at, at)].sum() / 2
    return np.asarray(costs, dtype=np.float64)


def best_choice(problem: Problem, starts: Choices) -> Choices:
    """The best choice found (n). ``starts`` (r × n) are taken along among the starts."""
    ways = [np.flatnonzero(row) for row in problem.open]
    if float(np.prod([float(len(way)) for way in ways])) <= FEW_WAYS:
        return _best_of_all(problem, ways)
    begun = np.concatenate([starts, _laid_out(problem)])
    ended = descend(problem, begun)
    best: Choices = ended[int(np.argmin(costs_of(problem, ended)))]
    cost = float(costs_of(problem, best[None])[0])
    while True:
        tried = _two_together(problem, best) if problem.joint.size <= MOST_PAIRED else best
        around = np.concatenate([tried[None], _woods_exchanged(problem, tried)])
        ended = descend(problem, around)
        found = costs_of(problem, ended)
        if float(found.min()) >= cost - _WORTH:
            return best
        best, cost = ended[int(np.argmin(found))], float(found.min())


def descend(problem: Problem, choices: Choices, allowed: NDArray[np.bool_] | None = None) -> Choices:
    """Each row of ``choices`` after its best single changes, one after the other. ``allowed`` (r × m) narrows the
    woods of a row further."""
    choices = np.array(choices, dtype=np.int64)
    rows, colours, woods = len(choices), problem.colours, problem.woods
    base = np.where(problem.open, problem.alone, NEVER)[None] + (
        0.0 if allowed is None else np.where(allowed, 0.0, NEVER)[:, None, :]
    )
    field = np.empty((rows, colours * woods))
    for row, at in enumerate(_places(problem, choices)):
        field[row] = problem.joint[at].sum(axis=0)
    moving = np.arange(rows)
    # Each change lowers a cost, so this ends; the limit only says that it must.
    for _ in range(50 * colours + 50):
        now = field[moving].reshape(len(moving), colours, woods) + (base if len(base) == 1 else base[moving])
        here = np.take_along_axis(now, choices[moving, :, None], axis=2)
        gain = (now - here).reshape(len(moving), -1)
        change = gain.argmin(axis=1)
        better = gain[np.arange(len(moving)), change] < -_WORTH
        moving, change = moving[better], change[better]
        if not len(moving):
            break
        colour, wood = change // woods, change % woods
        field[moving] += problem.joint[change] - problem.joint[colour * woods + choices[moving, colour]]
        choices[moving, colour] = wood
    return choices


def _places(problem: Problem, choices: Choices) -> Choices:
    return choices + np.arange(problem.colours) * problem.woods


def _best_of_all(problem: Problem, ways: list[NDArray[np.intp]]) -> Choices:
    every = np.array(list(product(*ways)), dtype=np.int64).reshape(-1, problem.colours)
    costs = np.zeros(len(every))
    for i in range(problem.colours):
        at = i * problem.woods + every[:, i]
        costs += problem.alone.ravel()[at]
        for j in range(i):
            costs += problem.joint[at, j * problem.woods + every[:, j]]
    found: Choices = every[int(np.argmin(costs))]
    return found


def _laid_out(problem: Problem) -> Choices:
    """Starts spread over the choices: the nearest wood, then ever others of the nearest few, by the golden ratio,
    which spreads the most evenly."""
    ranked = np.argsort(np.where(problem.open, problem.alone, NEVER), axis=1, kind="stable")
    open_ways = problem.open.sum(axis=1)
    rows = []
    for reach in (1, 2, 3, 4):
        for turn in range(1 if reach == 1 else 5):
            mixed = np.modf((np.arange(problem.colours) + 1) * (turn + 1) * _GOLDEN)[0]
            rank = np.minimum((mixed * reach).astype(np.int64), open_ways - 1)
            rows.append(ranked[np.arange(problem.colours), rank])
    return np.array(rows, dtype=np.int64)


def _two_together(problem: Problem, choice: Choices) -> Choices:
    """``choice`` after the best changes of two colours at once, until there is none."""
    choice = choice.copy()
    woods = problem.woods
    base = np.where(problem.open, problem.alone, NEVER).ravel()
    for _ in range(problem.colours):
        at = _places(problem, choice)
        alone = base + problem.joint[at].sum(axis=0)
        alone = alone - np.repeat(alone[at], woods)
        # What two changes do to each other: joint at both new places, less at one new and one old, plus at both old.
        old = np.repeat(problem.joint[:, at], woods, axis=1)
        together = problem.joint - old - old.T + np.repeat(old[at], woods, axis=0)
        together += alone[:, None]
        together += alone[None, :]
        least = int(np.argmin(together))
        one, other = divmod(least, together.shape[1])
        if together[one, other] >= -_WORTH or one // woods == other // woods:
            return choice
        choice[one // woods], choice[other // woods] = one % woods, other % woods
    return choice


def _woods_exchanged(problem: Problem, choice: Choices) -> Choices:
    """``choice`` with every two woods exchanged throughout, and with every wood given up for another."""
    rows = []
    for k in range(problem.woods):
        for other in range(problem.woods):
            if k == other or not (choice == k).any():
                continue
            given_up = np.where(choice == k, other, choice)
            exchanged = np.where(choice == other, k, given_up)
            rows += [given_up, exchanged] if k < other else [given_up]
    tried = np.array(rows, dtype=np.int64).reshape(-1, problem.colours)
    kept = np.take_along_axis(problem.open[None], tried[:, :, None], axis=2)[..., 0]
    return np.asarray(np.where(kept, tried, choice), dtype=np.int64)
