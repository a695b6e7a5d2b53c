"""The pattern as a working drawing: squares of wood with marks, rows and columns numbered."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from planner.drawing.looks import DARK_INK, WoodLook, number, opening
from planner.drawing.marks import mark_path
from planner.pattern import Pattern, Run

NUMBERED_EVERY = 5


@dataclass(frozen=True, slots=True)
class Laying:
    """How rows are laid in a picture: ``upright`` for columns of it glued as rows, and how many of its rows or columns
    each is ``deep``, from the first; none given is one each."""

    upright: bool = False
    deep: tuple[int, ...] = ()

    def lanes(self, pattern: Pattern) -> Iterator[tuple[int, int]]:
        """The first row (column) of the picture of each row, and how many it is made of."""
        at = 0
        for deep in self.deep or (1,) * (pattern.width if self.upright else pattern.height):
            yield at, deep
            at += deep

    def runs(self, pattern: Pattern, lane: int) -> tuple[Run, ...]:
        return pattern.runs_in_column(lane) if self.upright else pattern.runs_in_row(lane)

    def box(self, lane: float, start: float, deep: float, length: float) -> tuple[float, float, float, float]:
        """Left, top, width and height in cells of what lies from ``start`` along a lane."""
        return (lane, start, deep, length) if self.upright else (start, lane, length, deep)

    def line(self, lane: float, start: float, length: float, left: float, top: float, cell: float) -> str:
        """A line along the lanes."""
        x, y, *_ = self.box(lane, start, 0, 0)
        way = "v" if self.upright else "h"
        return f"M{number(left + x * cell)} {number(top + y * cell)}{way}{number(length * cell)}"

    def across(self, lane: float, start: float, deep: float, left: float, top: float, cell: float) -> str:
        """A line across them."""
        x, y, *_ = self.box(lane, start, 0, 0)
        way = "h" if self.upright else "v"
        return f"M{number(left + x * cell)} {number(top + y * cell)}{way}{number(deep * cell)}"


AS_DRAWN = Laying()


def pattern_svg(
    pattern: Pattern,
    looks: Mapping[str | None, WoodLook],
    *,
    cell: float = 10,
    numbers: bool = True,
    marks: bool = True,
    lines: bool = True,
    title: str = "",
    laying: Laying = AS_DRAWN,
) -> str:
    """The pattern as rows are laid: one path a wood for its runs and one for its marks, a mark a run.

    ``looks`` holds every wood of the pattern; ``looks[None]``, where given, draws the background too.
    Row 1 is the top row and column 1 the left one; where rows stand upright row 1 is at the left, and their tiles are
    counted from the bottom.
    """
    gutter = 2.4 * cell if numbers else 0.0
    width, height = pattern.width * cell, pattern.height * cell
    squares, strokes = wood_paths(pattern, looks, cell, gutter, gutter, marks=marks, laying=laying)
    body = [f'<path d="{d}" fill="{looks[wood].fill}"/>' for wood, d in squares.items()]
    if lines:
        body.append(_lines(pattern, cell, gutter, laying))
    body += [
        f'<path d="{d}" fill="none" stroke="{looks[wood].ink}" stroke-width="{number(cell * 0.09)}" '
        'stroke-linecap="round" stroke-linejoin="round"/>'
        for wood, d in strokes.items()
    ]
    if numbers:
        body.append(_numbers(pattern, cell, gutter, laying))
    return f"{opening(gutter + width, gutter + height, title)}{''.join(body)}</svg>"


def wood_paths(
    pattern: Pattern,
    looks: Mapping[str | None, WoodLook],
    cell: float,
    left: float,
    top: float,
    *,
    marks: bool,
    laying: Laying = AS_DRAWN,
) -> tuple[dict[str | None, str], dict[str | None, str]]:
    """For each wood the path of its runs, and that of its marks, the pattern's corner at (left, top)."""
    squares: dict[str | None, list[str]] = defaultdict(list)
    strokes: dict[str | None, list[str]] = defaultdict(list)
    for lane, deep in laying.lanes(pattern):
        for run in laying.runs(pattern, lane):
            if run.wood not in looks:
                continue
            x, y, wide, high = (side * cell for side in laying.box(lane, run.start, deep, run.length))
            x, y = left + x, top + y
            squares[run.wood].append(f"M{number(x)} {number(y)}h{number(wide)}v{number(high)}h{number(-wide)}z")
            if marks and run.wood is not None:
                corner = x + wide / 2 - cell * 0.3, y + high / 2 - cell * 0.3
                strokes[run.wood].append(mark_path(looks[run.wood].mark, *corner, cell * 0.6))
    return {w: "".join(d) for w, d in squares.items()}, {w: "".join(d) for w, d in strokes.items()}


def _lines(pattern: Pattern, cell: float, gutter: float, laying: Laying) -> str:
    """Rows as they are glued, runs as they are laid, and a tick at the foot of each row for every cell."""
    lanes, long = (pattern.width, pattern.height) if laying.upright else (pattern.height, pattern.width)
    at = gutter, gutter, cell
    edges = [first for first, _ in laying.lanes(pattern)] + [lanes]
    rows = "".join(laying.line(edge, 0, long, *at) for edge in edges)
    ends = "".join(
        laying.across(first, run.start, deep, *at)
        for first, deep in laying.lanes(pattern)
        for run in laying.runs(pattern, first)
    )
    ticks = "".join(
        laying.across(first + deep - 0.18, c, 0.18, *at)
        for first, deep in laying.lanes(pattern)
        for c in range(long + 1)
    )
    # Counted from where rows begin: the left, or the bottom.
    fives = "".join(
        laying.across(-0.3, long - c if laying.upright else c, lanes + 0.3, *at)
        for c in range(0, long + 1, NUMBERED_EVERY)
    )
    return (
        f'<path d="{ticks}" stroke="{DARK_INK}" stroke-opacity="0.35" stroke-width="{number(cell * 0.03)}"/>'
        f'<path d="{fives}" stroke="{DARK_INK}" stroke-opacity="0.3" stroke-width="{number(cell * 0.04)}"/>'
        f'<path d="{rows}{ends}{laying.across(0, long, lanes, *at)}" stroke="{DARK_INK}" '
        f'stroke-opacity="0.65" stroke-width="{number(cell * 0.06)}"/>'
    )


def _numbers(pattern: Pattern, cell: float, gutter: float, laying: Laying) -> str:
    def shown(i: int, last: int) -> bool:
        return i in (1, last) or (i % NUMBERED_EVERY == 0 and last - i > 1)

    def place(i: int) -> int:
        return pattern.height + 1 - i if laying.upright else i

    size = number(cell * 0.8)
    down = "".join(
        f'<text x="{number(gutter - cell * 0.4)}" y="{number(gutter + (place(i) - 0.22) * cell)}" '
        f'text-anchor="end">{i}</text>'
        for i in range(1, pattern.height + 1)
        if shown(i, pattern.height)
    )
    across = "".join(
        f'<text x="{number(gutter + (i - 0.5) * cell)}" y="{number(gutter - cell * 0.5)}" '
        f'text-anchor="middle">{i}</text>'
        for i in range(1, pattern.width + 1)
        if shown(i, pattern.width)
    )
    return f'<g font-family="Source Sans Pro, sans-serif" font-size="{size}" fill="currentColor">{down}{across}</g>'
