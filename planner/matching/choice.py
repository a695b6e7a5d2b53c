"""The choice of woods for a picture: one legible assignment, its alternatives, and how few woods would do.

What is least is, summed over cells, CIEDE2000 between colour and wood, and summed over cell sides,
``shape_price`` × what the wood loses of the picture: contrast at its edges, a smaller part for a step whose lighter
side became the darker, and for a flat side that became an edge. At price 0 every colour takes its nearest wood and
neighbours melt into one another; the dearer the shapes, the further a colour may go to be told from its neighbours.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from math import comb
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from planner.errors import PlannerError
from planner.matching.nearest import Rgb, nearest_colours
from planner.matching.neighbours import neighbours_of
from planner.matching.scores import EDGE_FROM, ENOUGH, FULL_WEIGHT, STEP, Ground, Scores, ground_of, scores_of, without
from planner.matching.search import Choices, Problem, best_choice, costs_of, descend
from planner.picture.colour import Floats, srgb_to_lab

SUGGESTED_PRICE = 0.25
# Shares of the contrast's price, by eye: a reversed step troubles less than a lost edge.
REVERSED_SHARE = 0.4
FALSE_SHARE = 0.4
# Places on the line that are tried for alternatives; beyond the last, shadows take the colours of accents.
LINE = (0.0, 0.06, 0.12, SUGGESTED_PRICE, 0.4, 0.6)
MOST_ALTERNATIVES = 4
# Two choices are told apart when so large a share of the cells wears another wood.
TOLD_APART = 0.01
# From here on a picture counts as legible, by eye.
LEGIBLE, IN_ORDER = 0.75, 0.75
# Colours times woods weighed against one another at once; what is more follows the nearest colour.
MOST_PLACES = 2400
# Sets of woods times places descended from at once.
MOST_WEIGHED = 1_000_000
_NOTHING_PINNED: Mapping[int, str | None] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Choice:
    """``wood_of[i]`` the wood of colour i, None where it is left to the background; ``shape_price`` the place on the
    line from true to the colours (0) to true to the shapes."""

    wood_of: tuple[str | None, ...]
    scores: Scores
    shape_price: float

    @property
    def woods(self) -> tuple[str, ...]:
        """The woods used, each once, in the order of the colours."""
        return tuple(dict.fromkeys(wood for wood in self.wood_of if wood is not None))


def choose_woods(
    cells: NDArray[np.int64],
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    *,
    shape_price: float = SUGGESTED_PRICE,
    pinned: Mapping[int, str | None] = _NOTHING_PINNED,
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
    return _Task(cells, colours, woods, pinned, barred, background_rgb).solve(shape_price)


def alternatives(
    cells: NDArray[np.int64],
    colours: Sequence[Rgb],
    woods: Mapping[str, Rgb],
    *,
    pinned: Mapping[int, str | None] = _NOTHING_PINNED,
    barred: Collection[str] = (),
    background_rgb: Rgb | None = None,
) -> tuple[Choice, ...]:
    """Up to four choices that differ to the eye, from true to the colours to true to the shapes; ``suggested`` says
    which to begin with. Fewer where the picture leaves no more to choose. Arguments and errors as ``choose_woods``.

    >>> woods = {"birch": (226, 190, 132), "walnut": (84, 58, 43)}
    >>> [one.shape_price for one in alternatives(np.array([[0, 1]]), [(240, 220, 190), (70, 50, 40)], woods)]
    [0.25]
    """
    task = _Task(cells, colours, woods, pinned, barred, background_rgb)
    line = [task.solve(price) for price in LINE]
    suggestion = line[LINE.index(SUGGESTED_PRICE)]
    # Those the eye can tell apart, each from every one kept before it; the suggested one is always kept.
    told_apart = [suggestion]
    for one in [line[0], line[-1], *line[1:-1]]:
        if all(task.apart(one, other) >= TOLD_APART for other in told_apart):
            told_apart.append(one)
    return tuple(sorted(told_apart[:MOST_ALTERNATIVES], key=lambda one: one.shape_price))


def suggested(choices: Sequence[Choice]) -> int:
    """Which of ``choices`` to begin with: the one nearest to the price that reads best by eye.

    >>> scores = Scores(1.0, 1.0, 0.0, 0.0)
    >>> suggested([Choice((), scores, 0.0), Choice((), scores, 0.25), Choice((), scores, 0.6)])
    1
    """
    return min(range(len(choices)), key=lambda i: abs(choices[i].shape_price - SUGGESTED_PRICE))


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
    pinned: Mapping[int, str | None] = _NOTHING_PINNED,
    barred: Collection[str] = (),
    background_rgb: Rgb | None = None,
    shape_price: float = SUGGESTED_PRICE,
) -> tuple[Fewer, ...]:
    """For two woods, three and so on, as far as one more still lowers the cost: the best choice found. The first that
    is ``legible`` has the least woods that keep the picture to be read; ``gained`` says what one more buys. Pinned
    woods are always among them. Arguments and errors as ``choose_woods``.

    >>> found = fewest_woods(np.array([[0, 1]]), [(240, 220, 190), (70, 50, 40)],
    ...                      {"birch": (226, 190, 132), "walnut": (84, 58, 43), "padauk": (180, 58, 26)})
    >>> [(one.count, one.choice.woods, one.legible) for one in found]
    [(2, ('birch', 'walnut'), True)]
    """
    return _Task(cells, colours, woods, pinned, barred, background_rgb).fewer(shape_price)


class _Task:
    """A picture, its woods and the maker's say, made ready to be solved at several prices."""

    def __init__(
        self,
        cells: NDArray[np.int64],
        colours: Sequence[Rgb],
        woods: Mapping[str, Rgb],
        pinned: Mapping[int, str | None],
        barred: Collection[str],
        background_rgb: Rgb | None,
    ) -> None:
        _check(colours, woods, pinned, barred)
        self.names = [name for name in woods if name not in set(barred)]
        self.left = np.array([i in pinned and pinned[i] is None for i in range(len(colours))], dtype=bool)
        self.held = {i: self.names.index(wood) for i, wood in pinned.items() if wood is not None}
        rgb = [woods[name] for name in self.names]
        filled = without(np.asarray(cells, dtype=np.int64), self.left)
        self.whole = ground_of(neighbours_of(filled, len(colours)), colours, rgb, background_rgb)
        self.follow, leaders = self._leaders(colours, self.whole.neighbours.counts)
        place = np.full(len(colours) + 1, -1, dtype=np.int64)
        place[:-1] = self.follow
        self.ground = ground_of(
            neighbours_of(place[filled], len(leaders)), [colours[i] for i in leaders], rgb, background_rgb
        )
        self.open = np.ones((len(leaders), len(self.names)), dtype=bool)
        for at, i in enumerate(leaders):
            if i in self.held:
                self.open[at] = np.arange(len(self.names)) == self.held[i]
        self.joint = _joint(self.ground)
        self.starts = self._matched(srgb_to_lab([colours[i] for i in leaders]), srgb_to_lab(rgb))

    def _leaders(self, colours: Sequence[Rgb], counts: NDArray[np.int64]) -> tuple[NDArray[np.int64], list[int]]:
        """Colours decided for themselves: those pinned and the most worn, as many as can be weighed against one
        another. Every further one goes with the nearest of these. Returns each colour's place among the leaders."""
        worn = [i for i in np.argsort(-counts, kind="stable").tolist() if counts[i] and i not in self.held]
        most = max(1, MOST_PLACES // len(self.names) - len(self.held))
        leaders = sorted([*self.held, *worn[:most]]) or [0]
        follow = np.zeros(len(colours), dtype=np.int64)
        follow[leaders] = np.arange(len(leaders))
        rest = sorted(set(range(len(colours))) - set(leaders))
        # A pinned colour's wood is the maker's say about that colour alone.
        free = [i for i in leaders if i not in self.held] or leaders
        for i, near in zip(rest, nearest_colours([colours[i] for i in rest], [colours[i] for i in free]), strict=True):
            follow[i] = follow[free[near]]
        return follow, leaders

    def _matched(self, labs: Floats, wood_labs: Floats) -> Choices:
        """Starts that spread the picture's lights and darks over those of the woods, heeding hue less and less."""
        low, high = labs[:, 0].min(), labs[:, 0].max()
        wood_low, wood_high = wood_labs[:, 0].min(), wood_labs[:, 0].max()
        spread = wood_low + (labs[:, 0] - low) * (wood_high - wood_low) / max(high - low, 1.0)
        rows = []
        for share in (1.0, 0.5, 0.0):
            lightness = (labs[:, 0] * (1 - share) + spread * share)[:, None] - wood_labs[None, :, 0]
            for heed in (1.0, 0.5, 0.1):
                hue = ((labs[:, None, 1:] - wood_labs[None, :, 1:]) ** 2).sum(axis=2) * heed**2
                rows.append(np.where(self.open, lightness**2 + hue, np.inf).argmin(axis=1))
        return np.unique(np.array(rows, dtype=np.int64), axis=0)

    def _problem(self, price: float, allowed: NDArray[np.bool_] | None = None) -> Problem:
        # Everything divided by the price, so that the large part is worked out once for all prices.
        alone = self.ground.neighbours.counts[:, None] * self.ground.apart / price
        if self.ground.behind is not None:
            lost = FULL_WEIGHT * (1 - np.minimum(1.0, self.ground.behind / ENOUGH))
            alone = alone + self.ground.neighbours.outline[:, None] * lost
        ways = self.open if allowed is None else self.open & (allowed | (self.open.sum(axis=1) == 1)[:, None])
        return Problem(np.asarray(alone, dtype=np.float64), self.joint, ways)

    def solve(self, price: float) -> Choice:
        if not 0 <= price <= 100:
            raise PlannerError("The price of the shapes is out of range.", mend="Choose one between 0 and 100.")
        if price == 0:
            return self._choice(np.where(self.open, self.ground.apart, np.inf).argmin(axis=1), price)
        found = best_choice(self._problem(price), self.starts)
        # What was best at one price is a start for the next.
        self.starts = np.concatenate([self.starts, found[None]])
        return self._choice(found, price)

    def _choice(self, found: Choices, price: float) -> Choice:
        taken = found[self.follow]
        wood_of = tuple(None if left else self.names[k] for k, left in zip(taken.tolist(), self.left, strict=True))
        return Choice(wood_of, scores_of(self.whole, taken), price)

    def apart(self, one: Choice, other: Choice) -> float:
        """The share of filled cells whose wood is another."""
        counts = self.whole.neighbours.counts
        differ = np.array([a != b for a, b in zip(one.wood_of, other.wood_of, strict=True)], dtype=bool)
        return float(counts[differ].sum()) / max(1, int(counts.sum()))

    def fewer(self, price: float) -> tuple[Fewer, ...]:
        if price <= 0:
            raise PlannerError("Without a price of the shapes no wood keeps them.", mend="Choose one above 0.")
        held = set(self.held.values())
        unlimited = self.solve(price)
        most = max(len(held), min(len(unlimited.woods), len(self.names)), 1)
        found: list[Fewer] = []
        best: list[tuple[int, ...]] = []
        for count in range(max(len(held), min(2, most)), most + 1):
            if count == most and len(unlimited.woods) == most:
                choice = unlimited
            else:
                best = self._best_sets(price, count, held, best)
                choice = min((self._within(price, woods) for woods in best[:3]), key=lambda pair: pair[0])[1]
            kept = choice.scores
            before = found[-1].choice.scores.legibility if found else 0.0
            legible = kept.legibility >= LEGIBLE and kept.order >= IN_ORDER
            found.append(Fewer(count, choice, legible, kept.legibility - before))
        return tuple(found)

    def _within(self, price: float, woods: tuple[int, ...]) -> tuple[float, Choice]:
        """The best choice among ``woods`` only, with its cost."""
        problem = self._problem(price, np.isin(np.arange(len(self.names)), woods))
        starts = np.where(problem.open, problem.alone, np.inf).argmin(axis=1)[None]
        found = best_choice(problem, starts)
        return float(costs_of(problem, found[None])[0]), self._choice(found, price)

    def _best_sets(
        self, price: float, count: int, held: set[int], before: list[tuple[int, ...]]
    ) -> list[tuple[int, ...]]:
        """Sets of ``count`` woods with those ``held``, best first: every set where they are few, else those one wood
        away from the best of one wood fewer."""
        free = [k for k in range(len(self.names)) if k not in held]
        wanted = count - len(held)
        most = max(64, MOST_WEIGHED // self.open.size)
        if comb(len(free), wanted) <= most or not before:
            sets = [tuple(sorted((*held, *more))) for more in islice(combinations(free, wanted), most)]
        else:
            grown = {tuple(sorted((*one, k))) for one in before[:8] for k in free if k not in one}
            sets = sorted(grown)[:most]
        ranked = self._ranked(price, sets)
        if len(sets) < comb(len(free), wanted):
            # The best with one wood exchanged, as long as that helps.
            while True:
                best = ranked[0]
                turned = {
                    tuple(sorted({*best, k} - {out})) for out in best if out not in held for k in free if k not in best
                }
                ranked = self._ranked(price, sorted(turned | set(ranked[:8])))
                if ranked[0] == best:
                    break
        return ranked

    def _ranked(self, price: float, sets: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
        problem = self._problem(price)
        allowed = np.zeros((len(sets), len(self.names)), dtype=bool)
        for row, woods in enumerate(sets):
            allowed[row, list(woods)] = True
        ways = problem.open[None] & allowed[:, None, :]
        starts = np.where(ways, problem.alone[None], np.inf).argmin(axis=2)
        ended = descend(problem, starts, allowed)
        order = np.argsort(costs_of(problem, ended), kind="stable")
        return [sets[i] for i in order.tolist()]


def _check(
    colours: Sequence[Rgb], woods: Mapping[str, Rgb], pinned: Mapping[int, str | None], barred: Collection[str]
) -> None:
    if not colours:
        raise PlannerError("The picture has no colours.", mend="Choose a picture with something drawn in it.")
    if not woods:
        raise PlannerError("There are no woods on hand.", mend="Add the woods you have first.")
    if not set(woods) - set(barred):
        raise PlannerError("Every wood on hand is barred.", mend="Allow one of them again.")
    for i, wood in pinned.items():
        if not 0 <= i < len(colours):
            raise PlannerError(
                f"Colour {i + 1} is to keep its wood, but the picture has {len(colours)} colours.",
                mend="Read the picture's page anew and choose again.",
            )
        if wood is None:
            continue
        if wood not in woods:
            raise PlannerError(
                f"Colour {i + 1} is to be “{wood}”, which is not on hand.",
                mend="Bring that wood back, or let the colour go.",
            )
        if wood in barred:
            raise PlannerError(
                f"Colour {i + 1} is to be “{wood}”, which is barred.", mend="Allow that wood, or let the colour go."
            )


def _joint(ground: Ground) -> Floats:
    """What each two colours lose of the picture between them in each two woods, at a price of 1: (n·m) × (n·m)."""
    near = ground.neighbours
    colours, woods = len(near.counts), len(ground.lightness)
    joint = np.zeros((colours, woods, colours, woods))
    between = ground.between[None]
    darker = ground.lightness[:, None] - ground.lightness[None, :]
    # A few hundred pairs at a time: a picture of many colours has tens of thousands.
    for start in range(0, len(near.pairs), 512):
        pairs = near.pairs[start : start + 512]
        differ = ground.differ[start : start + 512, None, None]
        step = ground.step[start : start + 512, None, None]
        weight = np.minimum(differ, FULL_WEIGHT)
        lost = weight * (1 - np.minimum(1.0, between / np.maximum(np.minimum(differ, ENOUGH), 1e-9)))
        # Turned round by little troubles little: the full part is reached at one clear step.
        turned = np.clip(-np.sign(step) * darker[None] / STEP, 0.0, 1.0) * (np.abs(step) > STEP)
        made_up = np.maximum(np.minimum(between, FULL_WEIGHT) - EDGE_FROM, 0.0)
        cost = np.where(differ >= EDGE_FROM, lost + REVERSED_SHARE * weight * turned, FALSE_SHARE * made_up)
        cost *= near.sides[start : start + 512, None, None]
        joint[pairs[:, 0], :, pairs[:, 1], :] = cost
        joint[pairs[:, 1], :, pairs[:, 0], :] = cost.transpose(0, 2, 1)
    return joint.reshape(colours * woods, colours * woods)
