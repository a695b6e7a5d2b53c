"""End grain up: strips glued side by side in a row's order, and every row of the board a slice of such a panel.

    a panel, seen from above              the board: a slice is turned so that its grain stands on end
    +--------+----+--+------+             +--------+----+--+------+
    | strip  |    |  |      | grain       |        |    |  |      |   as long as the panel is wide, as wide as the panel
    |        |    |  |      |  |          +--------+----+--+------+   is thick, as thick as it was sliced
    +--------+----+--+------+  v  slices  |  |    |        |      |

One panel serves equal rows, rows equal end for end, and every copy. Every joint is side grain to side grain. Borders
are of the same making: at the ends of the rows a strip of every panel, along the rows slices of plain ones.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

import numpy as np
from numpy.typing import NDArray

from planner.build.laying import RowOfParts, pieces_of
from planner.build.parts import HALF, Part, Stage
from planner.build.spec import BoardSpec, BuildError
from planner.build.words import ACROSS, SIDE
from planner.measures import ZERO, Length
from planner.pattern import Pattern
from planner.shop import Shop, StockSize


@dataclass(frozen=True, slots=True)
class Panel:
    """``count`` panels alike, for all copies: ``slices`` come out of them, ``spare`` of which are spare. ``strips`` are
    numbers into ``Build.parts``, left to right, and ``lengths`` how long they are and how many panels of it; ``width``
    by ``thickness`` a panel is glued, ``sliced`` is how thick a slice is cut, ``total`` are all of them end to end,
    what is trimmed and held among it."""

    number: int
    strips: tuple[int, ...]
    slices: int
    spare: int
    count: int
    lengths: tuple[tuple[Length, int], ...]
    total: Length
    width: Length
    thickness: Length
    sliced: Length

    @property
    def joints(self) -> int:
        return self.count * (len(self.strips) - 1)


@dataclass(frozen=True, slots=True)
class LaidPanels:
    """All of a board's panels, its rows as their slices, and what there is to glue inside the panels of all copies."""

    parts: tuple[Part, ...]
    rows: tuple[RowOfParts, ...]
    panels: tuple[Panel, ...]
    glue_mm2: Fraction


@dataclass(frozen=True, slots=True)
class _Strip:
    """A strip where it lies in a row: ``place`` along the row, of which ``trim`` comes off at last."""

    wood: str
    kind: str
    tiles: int
    place: Length
    trim: Length


@dataclass(frozen=True, slots=True)
class _Row:
    """``first`` is the row of the pattern, 0 for a border; ``height`` its place across, ``left`` what stays of it."""

    strips: tuple[_Strip, ...]
    height: Length
    left: Length
    first: int

    @property
    def key(self) -> tuple[object, ...]:
        return (*((strip.wood, strip.place) for strip in self.strips), self.height)

    @property
    def back(self) -> tuple[object, ...]:
        """The key of the same row turned end for end."""
        return (*((strip.wood, strip.place) for strip in self.strips[::-1]), self.height)


def longest_strip(shop: Shop) -> Length:
    """The longest strip of a panel that comes out of the longest rough length, by the lumber's plain habit and by a cut
    plan, which squares an end first and holds the other."""
    step = shop.rough_step if shop.rough_step > ZERO else shop.longest_rip
    held = max(shop.grip, shop.snipe)
    lost = (shop.snipe + shop.crosscut_kerf if shop.snipe else ZERO) + held + (shop.crosscut_kerf if held else ZERO)
    return min(step * int(shop.longest_rip / step) - lost, shop.longest_rip - shop.rough_end_trim * 2)


def lay_panels(
    cells: NDArray[np.int16],
    joints: NDArray[np.bool_],
    pattern: Pattern,
    spec: BoardSpec,
    shop: Shop,
    stock: Mapping[str, StockSize],
    spare: Callable[[int], int],
) -> LaidPanels:
    """``stock`` says how wide and thick each wood comes: what is wider is several strips, a border deeper than that
    several slices; where it is not known all come as they must. ``spare`` says how many slices more than needed are
    cut. Raises BuildError where not even one slice comes out of the longest panel."""
    border = _border_rows(pattern.width, spec, shop, stock)
    rows = [*border, *_field(cells, joints, pattern, spec, shop, stock), *border]
    often: dict[tuple[object, ...], list[_Row]] = {}
    found: list[tuple[tuple[object, ...], bool]] = []
    for row in rows:
        back = row.back in often and row.key not in often
        key = row.back if back else row.key
        often.setdefault(key, []).append(row)
        found.append((key, back))
    tally = _Tally(spec, shop)
    panels = [tally.panel(n, alike[0], len(alike) * spec.quantity, spare) for n, alike in enumerate(often.values(), 1)]
    number_of = {key: n for n, key in enumerate(often)}
    laid = []
    for number, (row, (key, back)) in enumerate(zip(rows, found, strict=True), 1):
        panel = panels[number_of[key]]
        parts = panel.strips[::-1] if back else panel.strips
        laid.append(RowOfParts(number, parts, row.first, 1 if row.first else 0, panel.number, back))
    glue = sum((panel.total.mm * (len(panel.strips) - 1) * panel.thickness.mm for panel in panels), Fraction(0))
    return LaidPanels(tally.parts(), tuple(laid), tuple(panels), glue)


def panel_allowance(shop: Shop) -> Length:
    """What a panel is thicker than the place its slices take: dressed edges less the glue, and its flattening."""
    return shop.dressing * 2 - shop.glue_line + shop.flattening


def _border_rows(width: int, spec: BoardSpec, shop: Shop, stock: Mapping[str, StockSize]) -> list[_Row]:
    """A border along the rows, as many slices deep as the stock is thick for, and left wide until the blank is cut to
    size. Without borders nothing is left: equal rows would not come out of one panel."""
    if not spec.end_border:
        return []
    depth, many = spec.end_border + shop.edge_trim, 1
    if spec.border_wood in stock:
        thickest = stock[spec.border_wood].thickness - shop.milling - panel_allowance(shop)
        many = max(1, ceil(depth / thickest)) if thickest > ZERO else 1
    long = spec.pitch * width + (spec.side_border + shop.end_trim) * 2
    whole = _Strip(spec.border_wood, ACROSS, 0, long, shop.end_trim * 2)
    row = _Row(tuple(_as_wide(whole, shop, stock)), depth / many, spec.end_border / many, 0)
    return [row] * many


def _field(
    cells: NDArray[np.int16],
    joints: NDArray[np.bool_],
    pattern: Pattern,
    spec: BoardSpec,
    shop: Shop,
    stock: Mapping[str, StockSize],
) -> list[_Row]:
    height, width = cells.shape
    begin, end = (-1, width + 1) if spec.side_border else (0, width)
    names = (spec.border_wood, *pattern.woods)
    lines, values = joints.tolist(), np.where(cells == -1, 0, cells).tolist()
    rows = []
    for r in range(height):
        strips: list[_Strip] = []
        for start, stop in pieces_of(lines[r], begin, end):
            ends = int(start == begin) + int(stop == end)
            border = start < 0 or stop > width
            tiles = min(stop, width) - max(start, 0)
            place = spec.pitch * tiles + (shop.end_trim + (spec.side_border if border else ZERO)) * ends
            wood = names[0 if border else values[r][start]]
            kind = (SIDE if ends == 1 else "through row") if border else ("strip", "end strip", "through strip")[ends]
            strips += _as_wide(_Strip(wood, kind, tiles, place, shop.end_trim * ends), shop, stock)
        rows.append(_Row(tuple(strips), spec.pitch, spec.pitch, r + 1))
    return rows


def _as_wide(strip: _Strip, shop: Shop, stock: Mapping[str, StockSize]) -> list[_Strip]:
    """A strip wider than its wood's stock is several, alike but for the picture's tiles in them."""
    many = 1
    if strip.wood in stock:
        widest = stock[strip.wood].width - shop.rough_edge_trim - shop.gauge_allowance - shop.dressing * 2
        many = max(1, ceil(strip.place / widest)) if widest > ZERO else 1
    return [
        _Strip(
            strip.wood,
            strip.kind,
            strip.tiles * (n + 1) // many - strip.tiles * n // many,
            strip.place / many,
            strip.trim / many,
        )
        for n in range(many)
    ]


class _Tally:
    """Gathers strips that are alike as parts, panel by panel."""

    def __init__(self, spec: BoardSpec, shop: Shop) -> None:
        self.spec, self.shop = spec, shop
        self.numbers: dict[tuple[object, ...], int] = {}
        self.made: list[Part] = []
        self.counts: Counter[int] = Counter()
        self.pieces: Counter[int] = Counter()

    def panel(self, number: int, row: _Row, needed: int, spare: Callable[[int], int]) -> Panel:
        shop = self.shop
        sliced = self.spec.thickness + shop.flattening
        each = sliced + shop.crosscut_kerf
        holds = int((longest_strip(shop) - shop.grip) / each)
        if holds < 1:
            raise BuildError(
                f"Not one slice comes out of a panel of strips {shop.says(max(longest_strip(shop), ZERO))} long.",
                mend="Rip longer lengths in the workshop's safe limits.",
                field="longest_rip",
            )
        more = spare(needed)
        slices = needed + more
        count = ceil(Fraction(slices, holds))
        # Full ones, and the last with what is left.
        full, last = (each * holds + shop.grip, count - 1), (each * (slices - holds * (count - 1)) + shop.grip, 1)
        lengths = tuple(one for one in (full, last) if one[1])
        strips: list[int] = []
        for length, many in lengths:
            here = [self._part(strip, n, row, length) for n, strip in enumerate(row.strips)]
            self.counts.update({n: here.count(n) * many for n in here})
            strips = strips or here
        self.pieces.update({n: strips.count(n) * needed for n in strips})
        total = each * slices + (shop.grip + shop.rough_end_trim * 2) * count
        width = sum((strip.place for strip in row.strips), ZERO)
        thickness = row.height + panel_allowance(shop)
        return Panel(number, tuple(strips), slices, more, count, lengths, total, width, thickness, sliced)

    def _part(self, strip: _Strip, n: int, row: _Row, length: Length) -> int:
        last = len(row.strips) - 1
        edges = int(n > 0) + int(n < last)
        key = (strip, row.height, row.left, edges, length)
        if key not in self.numbers:
            self.numbers[key] = len(self.made)
            self.made.append(
                Part(
                    strip.kind,
                    strip.wood,
                    strip.tiles,
                    0,
                    strip.place,
                    row.height,
                    self._stages(strip, row, edges, length),
                    for_all=True,
                )
            )
        return self.numbers[key]

    def _stages(self, strip: _Strip, row: _Row, edges: int, length: Length) -> tuple[Stage, ...]:
        """Dressed is the panel flattened; finished is a piece in the board, its grain on end."""
        shop = self.shop
        glued = row.height + panel_allowance(shop)
        dressed = strip.place - shop.glue_line * HALF * edges
        gauged = dressed + shop.dressing * edges
        return (
            Stage("ripped", length, gauged + shop.gauge_allowance, glued),
            Stage("gauged", length, gauged, glued),
            Stage("crosscut", length, gauged, glued),
            Stage("dressed", length, dressed, glued - shop.flattening),
            Stage("finished", self.spec.thickness, strip.place - strip.trim, row.left),
        )

    def parts(self) -> tuple[Part, ...]:
        return tuple(
            Part(
                part.kind, part.wood, part.tiles, self.counts[n], part.place_length, part.place_width, part.stages,
                for_all=True, pieces=self.pieces[n],
            )
            for n, part in enumerate(self.made)
        )  # fmt: skip
