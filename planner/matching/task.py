"""A picture, its woods and the maker's say, made ready to be solved at several prices."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from planner.errors import PlannerError
from planner.matching.cost import alone_cost, joint_cost
from planner.matching.nearest import Rgb, nearest_colours
from planner.matching.neighbours import neighbours_of
from planner.matching.scores import Scores, ground_of, scores_of, without
from planner.matching.search import Choices, Problem, best_choice
from planner.picture.colour import Floats, srgb_to_lab

# Colours times woods weighed against one another at once; what is more follows the nearest colour.
MOST_PLACES = 1000


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


class Task:
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
        check(colours, woods, pinned, barred)
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
        self.joint = joint_cost(self.ground)
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

    def problem(self, price: float, woods: Sequence[int] | None = None) -> Problem:
        """The problem at a price, for all woods or some. Everything is divided by the price, so that the large part
        is worked out once for all prices."""
        alone = alone_cost(self.ground, price)
        if woods is None:
            return Problem(alone, self.joint, self.open)
        places = (np.arange(len(alone))[:, None] * len(self.names) + np.asarray(woods)).ravel()
        return Problem(alone[:, woods], self.joint[np.ix_(places, places)], self.open[:, woods])

    def solve(self, price: float) -> Choice:
        if not 0 <= price <= 100:
            raise PlannerError("The price of the shapes is out of range.", mend="Choose one between 0 and 100.")
        if price == 0:
            return self.choice(np.where(self.open, self.ground.apart, np.inf).argmin(axis=1), price)
        found = best_choice(self.problem(price), self.starts)
        # What was best at one price is a start for the next.
        self.starts = np.concatenate([self.starts, found[None]])
        return self.choice(found, price)

    def choice(self, found: Choices, price: float) -> Choice:
        taken = found[self.follow]
        wood_of = tuple(None if left else self.names[k] for k, left in zip(taken.tolist(), self.left, strict=True))
        return Choice(wood_of, scores_of(self.whole, taken), price)

    def apart(self, one: Choice, other: Choice) -> float:
        """The share of filled cells whose wood is another."""
        counts = self.whole.neighbours.counts
        differ = np.array([a != b for a, b in zip(one.wood_of, other.wood_of, strict=True)], dtype=bool)
        return float(counts[differ].sum()) / max(1, int(counts.sum()))


def check(
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
