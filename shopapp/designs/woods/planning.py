"""The door to the planner for woods: a stored grid's colours to woods, and the pattern they make."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from PIL import Image

from planner.drawing import hex_of
from planner.errors import PlannerError
from planner.matching import match_colours, nearest_colours
from planner.pattern import LARGEST_SIDE, Pattern

# A picture of a few thousand shades cannot be chosen colour by colour; beyond this many, a colour follows
# the nearest of those that can.
MOST_COLOURS = 256
BACKGROUND = ""


@dataclass(frozen=True)
class GridColour:
    """One colour of the grid, ``rgb`` and how many cells wear it."""

    rgb: tuple[int, int, int]
    cells: int

    @property
    def hex(self) -> str:
        return hex_of(self.rgb)


class StoredGrid:
    """A grid as it was stored, with its colours in order of how many cells wear them."""

    def __init__(self, png: bytes) -> None:
        cells = np.asarray(Image.open(io.BytesIO(png)).convert("RGBA"))
        self.filled = cells[..., 3] > 0
        codes = cells[..., :3].astype(np.uint32) @ np.array([65536, 256, 1], dtype=np.uint32)
        worn, which, counts = np.unique(codes[self.filled], return_inverse=True, return_counts=True)
        order = np.argsort(-counts, kind="stable")
        rank = np.empty_like(order)
        rank[order] = np.arange(len(order))
        self._which = np.full(codes.shape, -1, dtype=np.int64)
        self._which[self.filled] = rank[which]
        self.all_colours = [
            GridColour((int(worn[i]) >> 16, int(worn[i]) >> 8 & 255, int(worn[i]) & 255), int(counts[i])) for i in order
        ]

    @property
    def colours(self) -> list[GridColour]:
        """The colours a maker chooses woods for, most worn first."""
        return self.all_colours[:MOST_COLOURS]

    @property
    def shape(self) -> tuple[int, int]:
        return self.filled.shape

    @property
    def lacks_side_background(self) -> bool:
        """Whether one side of the picture has no background at all, so that it could carry no side border."""
        return bool(self.filled[:, 0].all() or self.filled[:, -1].all())

    def pattern(self, choices: Sequence[str], margin: int) -> Pattern:
        """The pattern when colour i becomes wood ``choices[i]`` (``BACKGROUND`` for none), with ``margin``
        cells of background added all round."""
        height, width = self.shape
        if max(height, width) + 2 * margin > LARGEST_SIDE:
            raise PlannerError(
                f"With {margin} added on every side the pattern would be "
                f"{height + 2 * margin} by {width + 2 * margin} tiles.",
                mend=f"The largest side is {LARGEST_SIDE}; add fewer.",
                field="margin",
            )
        follow = self._followers(len(choices))
        names: list[str | None] = [None, *(choices[i] or None for i in follow)]
        cells = [[names[i + 1] for i in row] for row in self._which.tolist()]
        pattern = Pattern.of(cells)
        return pattern.padded(margin, margin, margin, margin) if margin else pattern

    def _followers(self, chosen: int) -> list[int]:
        """For every colour, which of the ``chosen`` first ones decides its wood: itself, or the nearest."""
        if len(self.all_colours) <= chosen:
            return list(range(len(self.all_colours)))
        leaders = [colour.rgb for colour in self.all_colours[:chosen]]
        return [*range(chosen), *nearest_colours([colour.rgb for colour in self.all_colours[chosen:]], leaders)]


def suggest_woods(colours: Sequence[GridColour], woods: Mapping[str, tuple[int, int, int]]) -> list[str]:
    """A first wood for every colour: the nearest by CIEDE2000, a wood of its own while woods last."""
    if not woods or not colours:
        return []
    match = match_colours([c.rgb for c in colours], woods, counts=[c.cells for c in colours])
    return list(match.wood_of)
