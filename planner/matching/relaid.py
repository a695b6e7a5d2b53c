"""A pattern with one of its woods laid in another: how much of the picture as it is laid now can still be read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from planner.errors import PlannerError
from planner.matching.fewest import IN_ORDER, LEGIBLE
from planner.matching.nearest import Rgb
from planner.matching.neighbours import neighbours_of
from planner.matching.scores import Scores, ground_of, scores_of
from planner.pattern import Pattern


@dataclass(frozen=True, slots=True)
class Relaid:
    """The scores of a change against the pattern as it is laid, and whether it can be read."""

    scores: Scores

    @property
    def legible(self) -> bool:
        return self.scores.legibility >= LEGIBLE and self.scores.order >= IN_ORDER


class Laid:
    """A pattern in its woods before a background: the picture every change of a wood is held against.

    ``looks`` is every wood's finished colour, ``border`` the wood of background and borders. Raises PlannerError for
    a wood without a look.
    """

    def __init__(self, pattern: Pattern, looks: Mapping[str, Rgb], border: str) -> None:
        if missing := {*pattern.woods, border} - set(looks):
            raise PlannerError(f"“{min(missing)}” has no colour.", mend="Add it to the woods on hand.")
        self._names = list(looks)
        self._taken = np.array([self._names.index(wood) for wood in pattern.woods], dtype=np.int64)
        self._place = {wood: n for n, wood in enumerate(pattern.woods)}
        cells = np.array([list(row) for row in pattern.rows], dtype=np.int64) - 1
        colours = [looks[wood] for wood in pattern.woods]
        self._ground = ground_of(neighbours_of(cells, len(colours)), colours, list(looks.values()), looks[border])

    def with_wood(self, wood: str, other: str) -> Relaid:
        """``wood`` of the pattern laid in ``other``, which it may wear already."""
        taken = self._taken.copy()
        taken[self._place[wood]] = self._names.index(other)
        return Relaid(scores_of(self._ground, taken))

    def before(self, border: str) -> Relaid:
        """Before a background of another wood."""
        ground = replace(self._ground, behind=self._ground.between[:, self._names.index(border)])
        return Relaid(scores_of(ground, self._taken))
