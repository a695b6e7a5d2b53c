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
from functools import partial
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
    """A strip where it lies in a row: ``place`` along the row, of which ``trim`` comes off at last. Strips alike have
    one ``mark``, whatever they are called, for a row has many of them and rows are compared."""

    mark: int
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
        return tuple(strip.mark for strip in self.strips), self.height

    @property
    def back(self) -> tuple[object, ...]:
        """The key of the same row turned end for end."""
        return tuple(strip.mark for strip in self.strips[::-1]), self.height


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
    dealt = _Dealt(shop, stock)
    border = _border_rows(pattern.width, spec, shop, stock, dealt)
    rows = [*border, *_field(cells, joints, pattern, spec, shop, dealt), *border]
    often: dict[tuple[object, ...], list[_Row]] = {}
    found: list[tuple[tuple[object, ...], bool]] = []
    for row in rows:
        key, end_for_end = row.key, row.back
        back = end_for_end in often and key not in often
        key = end_for_end if back else key
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


class _Dealt:
    """Pieces of rows as strips. One wider than its wood's stock is several, alike but for the picture's tiles in them;
    pieces alike are dealt out once."""

    def __init__(self, shop: Shop, stock: Mapping[str, StockSize]) -> None:
        self.shop, self.stock = shop, stock
        self.known: dict[tuple[object, ...], tuple[_Strip, ...]] = {}
        self.marks: dict[tuple[str, Length], int] = {}

    def strips(self, wood: str, kind: str, tiles: int, ends: int, place: Callable[[], Length]) -> tuple[_Strip, ...]:
        """``place`` is asked for once for pieces of one wood and kind that are as many ``tiles`` and ``ends`` long."""
        key = (wood, kind, tiles, ends)
        if key not in self.known:
            self.known[key] = self._deal(wood, kind, tiles, self.shop.end_trim * ends, place())
        return self.known[key]

    def _deal(self, wood: str, kind: str, tiles: int, trim: Length, place: Length) -> tuple[_Strip, ...]:
        shop, many = self.shop, 1
        if wood in self.stock:
            widest = self.stock[wood].width - shop.rough_edge_trim - shop.gauge_allowance - shop.dressing * 2
            many = max(1, ceil(place / widest)) if widest > ZERO else 1
        each = place / many
        mark = self.marks.setdefault((wood, each), len(self.marks))
        return tuple(
            _Strip(mark, wood, kind, tiles * (n + 1) // many - tiles * n // many, each, trim / many)
            for n in range(many)
        )


def _border_rows(width: int, spec: BoardSpec, shop: Shop, stock: Mapping[str, StockSize], dealt: _Dealt) -> list[_Row]:
    """A border along the rows, as many slices deep as the stock is thick for, and left wide until the blank is cut to
    size. Without borders nothing is left: equal rows would not come out of one panel."""
    if not spec.end_border:
        return []
    depth, many = spec.end_border + shop.edge_trim, 1
    if spec.border_wood in stock:
        thickest = stock[spec.border_wood].thickness - shop.milling - panel_allowance(shop)
        many = max(1, ceil(depth / thickest)) if thickest > ZERO else 1
    long = spec.pitch * width + (spec.side_border + shop.end_trim) * 2
    strips = dealt.strips(spec.border_wood, ACROSS, 0, 2, lambda: long)
    return [_Row(strips, depth / many, spec.end_border / many, 0)] * many


def _field(
    cells: NDArray[np.int16],
    joints: NDArray[np.bool_],
    pattern: Pattern,
    spec: BoardSpec,
    shop: Shop,
    dealt: _Dealt,
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
            left = shop.end_trim + (spec.side_border if border else ZERO)
            wood = names[0 if border else values[r][start]]
            kind = (SIDE if ends == 1 else "through row") if border else ("strip", "end strip", "through strip")[ends]
            strips += dealt.strips(wood, kind, tiles, ends, partial(_place, spec.pitch, tiles, left, ends))
        rows.append(_Row(tuple(strips), spec.pitch, spec.pitch, r + 1))
    return rows


def _place(pitch: Length, tiles: int, left: Length, ends: int) -> Length:
    """What a piece takes up along its row: its tiles, and at an end of the row its border and what is left long."""
    return pitch * tiles + left * ends


class _Tally:
    """Gathers strips that are alike as parts, panel by panel."""

    def __init__(self, spec: BoardSpec, shop: Shop) -> None:
        self.spec, self.shop = spec, shop
        self.numbers: dict[tuple[Length, Length], dict[tuple[int, str, int, int], int]] = {}
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
        rest = slices - holds * (count - 1)
        dealt = ((holds, count),) if rest == holds else ((holds, count - 1), (rest, 1))
        lengths = tuple((each * many + shop.grip, panels) for many, panels in dealt if panels)
        strips: list[int] = []
        for length, many in lengths:
            here = self._parts(row, length)
            self.counts.update({n: alike * many for n, alike in Counter(here).items()})
            strips = strips or here
        self.pieces.update({n: alike * needed for n, alike in Counter(strips).items()})
        total = each * slices + (shop.grip + shop.rough_end_trim * 2) * count
        width = sum((strip.place for strip in row.strips), ZERO)
        thickness = row.height + panel_allowance(shop)
        return Panel(number, tuple(strips), slices, more, count, lengths, total, width, thickness, sliced)

    def _parts(self, row: _Row, length: Length) -> list[int]:
        """The part each strip of a panel of ``length`` is."""
        numbers = self.numbers.setdefault((length, row.height), {})
        last = len(row.strips) - 1
        found = []
        for n, strip in enumerate(row.strips):
            edges = int(n > 0) + int(n < last)
            key = (strip.mark, strip.kind, strip.tiles, edges)
            if key not in numbers:
                numbers[key] = len(self.made)
                stages = self._stages(strip, row, edges, length)
                self.made.append(
                    Part(strip.kind, strip.wood, strip.tiles, 0, strip.place, row.height, stages, for_all=True)
                )
            found.append(numbers[key])
        return found

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
