"""The pattern as a working drawing: squares of wood with marks, rows and columns numbered."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from planner.drawing.looks import DARK_INK, WoodLook, number, opening
from planner.drawing.marks import mark_path
from planner.pattern import Pattern

NUMBERED_EVERY = 5


def pattern_svg(
    pattern: Pattern,
    looks: Mapping[str | None, WoodLook],
    *,
    cell: float = 10,
    numbers: bool = True,
    marks: bool = True,
    lines: bool = True,
    title: str = "",
) -> str:
    """The pattern as rows are laid: one path a wood for its runs and one for its marks, a mark a run.

    ``looks`` holds every wood of the pattern; ``looks[None]``, where given, draws the background too.
    Row 1 is the top row and column 1 the left one.
    """
    gutter = 2.4 * cell if numbers else 0.0
    width, height = pattern.width * cell, pattern.height * cell
    squares, strokes = wood_paths(pattern, looks, cell, gutter, gutter, marks=marks)
    body = [f'<path d="{d}" fill="{looks[wood].fill}"/>' for wood, d in squares.items()]
    if lines:
        body.append(_lines(pattern, cell, gutter))
    body += [
        f'<path d="{d}" fill="none" stroke="{looks[wood].ink}" stroke-width="{number(cell * 0.09)}" '
        'stroke-linecap="round" stroke-linejoin="round"/>'
        for wood, d in strokes.items()
    ]
    if numbers:
        body.append(_numbers(pattern, cell, gutter))
    return f"{opening(gutter + width, gutter + height, title)}{''.join(body)}</svg>"


def wood_paths(
    pattern: Pattern, looks: Mapping[str | None, WoodLook], cell: float, left: float, top: float, *, marks: bool
) -> tuple[dict[str | None, str], dict[str | None, str]]:
    """For each wood the path of its runs, and that of its marks, the pattern's corner at (left, top)."""
    squares: dict[str | None, list[str]] = defaultdict(list)
    strokes: dict[str | None, list[str]] = defaultdict(list)
    for r in range(pattern.height):
        y = top + r * cell
        for run in pattern.runs_in_row(r):
            if run.wood not in looks:
                continue
            x = left + run.start * cell
            long = run.length * cell
            box = f"M{number(x)} {number(y)}h{number(long)}v{number(cell)}h{number(-long)}z"
            squares[run.wood].append(box)
            if marks and run.wood is not None:
                centre = x + long / 2
                strokes[run.wood].append(
                    mark_path(looks[run.wood].mark, centre - cell * 0.3, y + cell * 0.2, cell * 0.6)
                )
    return {w: "".join(d) for w, d in squares.items()}, {w: "".join(d) for w, d in strokes.items()}


def _lines(pattern: Pattern, cell: float, gutter: float) -> str:
    """Rows as they are glued, runs as they are laid, and a tick at the foot of each row for every cell."""
    width, height = pattern.width * cell, pattern.height * cell
    rows = "".join(f"M{number(gutter)} {number(gutter + r * cell)}h{number(width)}" for r in range(pattern.height + 1))
    ends = "".join(
        f"M{number(gutter + run.start * cell)} {number(gutter + r * cell)}v{number(cell)}"
        for r in range(pattern.height)
        for run in pattern.runs_in_row(r)
    )
    ticks = "".join(
        f"M{number(gutter + c * cell)} {number(gutter + (r + 0.82) * cell)}v{number(cell * 0.18)}"
        for r in range(pattern.height)
        for c in range(pattern.width + 1)
    )
    fives = "".join(
        f"M{number(gutter + c * cell)} {number(gutter - cell * 0.3)}v{number(height + cell * 0.3)}"
        for c in range(0, pattern.width + 1, NUMBERED_EVERY)
    )
    return (
        f'<path d="{ticks}" stroke="{DARK_INK}" stroke-opacity="0.35" stroke-width="{number(cell * 0.03)}"/>'
        f'<path d="{fives}" stroke="{DARK_INK}" stroke-opacity="0.3" stroke-width="{number(cell * 0.04)}"/>'
        f'<path d="{rows}{ends}M{number(gutter + width)} {number(gutter)}v{number(height)}" stroke="{DARK_INK}" '
        f'stroke-opacity="0.65" stroke-width="{number(cell * 0.06)}"/>'
    )


def _numbers(pattern: Pattern, cell: float, gutter: float) -> str:
    def shown(i: int, last: int) -> bool:
        return i in (1, last) or (i % NUMBERED_EVERY == 0 and last - i > 1)

    size = number(cell * 0.8)
    down = "".join(
        f'<text x="{number(gutter - cell * 0.4)}" y="{number(gutter + (i - 0.22) * cell)}" text-anchor="end">{i}</text>'
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
