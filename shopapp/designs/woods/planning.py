"""The door to the planner for woods: a stored grid's colours, near ones made one, and the woods matched to them."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from django.core.cache import cache
from PIL import Image

from planner.drawing import WoodLook, hex_of, luminance, pattern_svg, plank_svg, thumbnail_svg
from planner.errors import PlannerError
from planner.matching import (
    SUGGESTED_PRICE,
    Choice,
    Scores,
    alternatives,
    fewest_woods,
    merge_near,
    merged,
    nearest_colours,
    score,
)
from planner.matching import suggested as suggested_of
from planner.matching.choice import LINE
from planner.matching.fewest import IN_ORDER, LEGIBLE, MOST_COUNTED
from planner.matching.melting import Melting, melting
from planner.pattern import LARGEST_SIDE, Pattern

from .say import BACKGROUND, Say

__all__ = [
    "MOST_COUNTED",
    "Melting",
    "Pattern",
    "Scores",
    "StoredGrid",
    "drawing_of",
    "joined",
    "judged",
    "lightest",
    "matched",
    "matched_with_few",
    "melts",
    "plank",
    "reads",
    "thumbnail",
]

# A picture of a few thousand shades cannot be chosen colour by colour; beyond this many, a colour follows
# the nearest of those that can.
MOST_COLOURS = 256
# A drawing of more runs than this leaves marks out: they would weigh megabytes and be too small to tell apart.
MOST_MARKED = 2400
# Beyond so many its rows and columns are too small to be numbered.
MOST_NUMBERED = 12_000
# Relative luminance from which a wood counts as light; of those of the table it parts white oak from elm.
LIGHT_ENOUGH = 0.3
Rgb = tuple[int, int, int]


@dataclass(frozen=True)
class GridColour:
    """One colour of the grid, ``rgb`` and how many cells wear it."""

    rgb: Rgb
    cells: int

    @property
    def hex(self) -> str:
        return hex_of(self.rgb)

    @property
    def name(self) -> str:
        """Six digits, by which the colour is known on the page and in what is kept."""
        return self.hex[1:]


class StoredGrid:
    """A grid as it was stored, with its colours in order of how many cells wear them."""

    def __init__(self, png: bytes) -> None:
        self._follow: dict[int, list[int]] = {}
        self._near: dict[int, tuple[int, ...]] = {}
        self.sha256 = hashlib.sha256(png).hexdigest()
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

    @property
    def may_grow(self) -> bool:
        """Whether a cell more on every side stays within the limit."""
        return max(self.shape) + 2 <= LARGEST_SIDE

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
        if chosen not in self._follow:
            self._follow[chosen] = self._find_followers(chosen)
        return self._follow[chosen]

    def _find_followers(self, chosen: int) -> list[int]:
        if len(self.all_colours) <= chosen:
            return list(range(len(self.all_colours)))
        leaders = [colour.rgb for colour in self.all_colours[:chosen]]
        return [*range(chosen), *nearest_colours([colour.rgb for colour in self.all_colours[chosen:]], leaders)]

    @property
    def names(self) -> list[str]:
        return [colour.name for colour in self.colours]

    def near(self, within: int) -> tuple[int, ...]:
        """For every colour the one it would join when colours nearer than ``within`` (CIEDE2000) are made one."""
        if within not in self._near:
            self._near[within] = merge_near([c.rgb for c in self.colours], [c.cells for c in self.colours], within)
        return self._near[within]

    def cells(self, place: Sequence[int]) -> np.ndarray:
        """Rows × columns with ``place[i]`` where colour i is worn, -1 for background."""
        follow = self._followers(len(self.colours))
        table = np.append(np.asarray(place, dtype=np.int64)[follow] if follow else np.array([], dtype=np.int64), -1)
        return table[self._which]


# --- near colours made one ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Joined:
    """``joins[i]`` is the colour that colour i goes with, itself when it stays; ``groups`` every group that the
    nearness makes, the colour that stays first, refused ones too."""

    joins: tuple[int, ...]
    groups: tuple[tuple[int, ...], ...]

    @property
    def leaders(self) -> list[int]:
        return [i for i, to in enumerate(self.joins) if i == to]


def joined(grid: StoredGrid, within: int, apart: frozenset[int]) -> Joined:
    """Colours nearer than ``within`` made one, but for the groups led by those ``apart``."""
    offered = grid.near(within)
    joins = tuple(i if to in apart else to for i, to in enumerate(offered))
    return Joined(joins, tuple(group for group in merged(offered) if len(group) > 1))


# --- matching ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Matched:
    """One choice matched to the picture: ``woods`` of each of the grid's colours, its ``scores`` against the picture
    as it was read, and its ``price`` on the line from true to the colours to true to the shapes."""

    woods: tuple[str, ...]
    scores: Scores
    price: float
    suggested: bool = False
    count: int = 0

    @property
    def legible(self) -> bool:
        return self.scores.legibility >= LEGIBLE and self.scores.order >= IN_ORDER


def reads(one: Matched) -> str:
    """Whether the picture can be read in it, and what is in the way."""
    if one.legible:
        return "can be read"
    return "too many edges lost" if one.scores.legibility < LEGIBLE else "light and dark out of order"


def matched(grid: StoredGrid, say: Say, woods: Mapping[str, Rgb]) -> list[Matched]:
    """The choices along the line, matched around the maker's say. Raises PlannerError in words."""

    def find() -> list[Matched]:
        found = alternatives(*_asked(grid, say, woods), **_around(grid, say, woods))
        first = suggested_of(found)
        return [_judge(grid, say, woods, one, suggested=i == first) for i, one in enumerate(found)]

    return _remembered("ways", grid, say, woods, find)


def matched_with_few(grid: StoredGrid, say: Say, woods: Mapping[str, Rgb]) -> list[Matched]:
    """The best choice with two woods, three and so on, as far as one more still buys something. Where none of them
    can be read, truer to the shapes."""

    def find() -> list[Matched]:
        asked, around = _asked(grid, say, woods), _around(grid, say, woods)
        found: list[Matched] = []
        for price in (SUGGESTED_PRICE, LINE[-1]):
            few = fewest_woods(*asked, **around, shape_price=price)
            found = [_judge(grid, say, woods, one.choice, count=len(one.choice.woods)) for one in few]
            if any(one.legible for one in found):
                break
        return found

    return _remembered("few", grid, say, woods, find)


def judged(grid: StoredGrid, worn: Sequence[str], woods: Mapping[str, Rgb], behind: str) -> Scores:
    """The scores of any choice, against the picture as it was read."""
    every = range(len(grid.colours))
    wood_of = [wood or None for wood in worn]
    return score(grid.cells(every), [c.rgb for c in grid.colours], woods, wood_of, background_rgb=woods.get(behind))


def melts(grid: StoredGrid, worn: Sequence[str], woods: Mapping[str, Rgb], behind: str) -> tuple[Melting, ...]:
    every = range(len(grid.colours))
    wood_of = [wood or None for wood in worn]
    return melting(grid.cells(every), [c.rgb for c in grid.colours], woods, wood_of, background_rgb=woods.get(behind))


def lightest(woods: Mapping[str, Rgb], *, at_least: bool = False) -> str:
    """The wood a picture stands before unless the maker says another; empty without any, and with ``at_least`` when
    none is light enough to stand for paper."""
    light = {wood: luminance(rgb) for wood, rgb in woods.items()}
    if at_least:
        light = {wood: value for wood, value in light.items() if value >= LIGHT_ENOUGH}
    return max(light, key=light.__getitem__, default="")


def _asked(grid: StoredGrid, say: Say, woods: Mapping[str, Rgb]) -> tuple[np.ndarray, list[Rgb], Mapping[str, Rgb]]:
    """The picture with near colours made one, its colours, and the woods."""
    near = joined(grid, say.within, say.apart)
    place = {leader: k for k, leader in enumerate(near.leaders)}
    cells = grid.cells([place[to] for to in near.joins])
    return cells, [grid.colours[i].rgb for i in near.leaders], woods


def _around(grid: StoredGrid, say: Say, woods: Mapping[str, Rgb]) -> dict:
    """What is settled beforehand, in the planner's words. Raises PlannerError where the maker says two things."""
    if woods and not set(woods) - say.barred:
        raise PlannerError("Every wood on hand is left out this time.", mend="Allow one of them again.")
    leaders = joined(grid, say.within, say.apart).leaders
    settled = say.settled
    for i in leaders:
        if settled.get(i) in say.barred and settled.get(i) is not None:
            raise PlannerError(
                f"Colour {i + 1} is to stay in a wood that is left out this time.", mend="Let one of the two go."
            )
    pinned = {
        k: settled[i] for k, i in enumerate(leaders) if i in settled and (settled[i] is None or settled[i] in woods)
    }
    if len(pinned) == len(leaders) and not any(pinned.values()):
        raise PlannerError("Every colour is background.", mend="Give at least one colour a wood.")
    return {"pinned": pinned, "barred": say.barred & set(woods), "background_rgb": woods.get(say.behind)}


def _judge(grid: StoredGrid, say: Say, woods: Mapping[str, Rgb], choice: Choice, **more) -> Matched:
    near = joined(grid, say.within, say.apart)
    place = {leader: k for k, leader in enumerate(near.leaders)}
    worn = tuple(choice.wood_of[place[to]] or BACKGROUND for to in near.joins)
    return Matched(worn, judged(grid, worn, woods, say.behind), choice.shape_price, **more)


def key_of(grid: StoredGrid, say: Say, woods: Mapping[str, Rgb]) -> str:
    """The hash of everything the matching rests on."""
    joins = joined(grid, say.within, say.apart).joins
    settled = sorted((i, wood or "") for i, wood in say.settled.items() if joins[i] == i)
    asked = (grid.sha256, joins, settled, sorted(say.barred), list(woods.items()), say.behind)
    return hashlib.sha256(repr(asked).encode()).hexdigest()


def _remembered(kind: str, grid: StoredGrid, say: Say, woods: Mapping[str, Rgb], find) -> list[Matched]:
    key = f"woods:{kind}:{key_of(grid, say, woods)}"
    found = cache.get(key)
    if found is None:
        found = find()
        cache.set(key, found, 600)
    return found


# --- drawings ----------------------------------------------------------------------------------------------------


def drawing_of(pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str) -> tuple[str, bool]:
    """The pattern as rows are laid, and whether its runs wear their marks."""
    runs = sum(len(pattern.runs_in_row(row)) for row in range(pattern.height))
    if runs > MOST_NUMBERED:
        return thumbnail_svg(pattern, looks, title, coarse=False), False
    marked = runs <= MOST_MARKED
    return pattern_svg(pattern, looks, marks=marked, lines=marked, title=title), marked


def thumbnail(pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str) -> str:
    return thumbnail_svg(pattern, looks, title)


def plank(look: WoodLook) -> str:
    return plank_svg(look)
