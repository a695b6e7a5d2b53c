"""A pattern in small: its woods and nothing else, light enough to stand several times on one page."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from planner.drawing.looks import WoodLook, opening
from planner.pattern import Pattern

# A pattern of more runs than this is noise to the eye at a thumb's size, and a page of several would be heavy.
MOST_RUNS = 12_000


def thumbnail_svg(
    pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str = "", *, coarse: bool = True
) -> str:
    """The pattern as one path a wood, a stroke a run, with neither marks nor lines nor numbers.

    A cell is one unit, and each step is written from where the last one ended: six to eight bytes a run. ``looks``
    holds the woods to draw; ``looks[None]``, where given, lies behind them all. Edges are kept crisp, for a stroke
    blurred at its sides would leave a seam between two rows of one wood. A pattern of more than 12,000 runs is drawn
    coarser, two cells by two as one, unless ``coarse`` forbids it.

    >>> from planner.pattern import Pattern
    >>> beech = WoodLook("Beech", (205, 157, 117), "bar")
    >>> "M0 .5h2m1 0h1" in thumbnail_svg(Pattern.of([["beech", "beech", None, "beech"]]), {"beech": beech})
    True
    """
    if coarse and sum(len(pattern.runs_in_row(row)) for row in range(pattern.height)) > MOST_RUNS:
        pattern = coarser(pattern)
    paths: dict[str, list[str]] = defaultdict(list)
    ends: dict[str, tuple[int, int]] = {}
    for row in range(pattern.height):
        for run in pattern.runs_in_row(row):
            if run.wood is None or run.wood not in looks:
                continue
            if run.wood in ends:
                column, above = ends[run.wood]
                paths[run.wood].append(f"m{run.start - column} {row - above}h{run.length}")
            else:
                paths[run.wood].append(f"M{run.start} {row or ''}.5h{run.length}")
            ends[run.wood] = (run.start + run.length, row)
    behind = looks.get(None)
    ground = "" if behind is None else f'<path d="M0 0h{pattern.width}v{pattern.height}H0z" fill="{behind.fill}"/>'
    body = "".join(f'<path d="{"".join(steps)}" stroke="{looks[wood].fill}"/>' for wood, steps in paths.items())
    crisp = 'shape-rendering="crispEdges" fill="none"'
    return f"{opening(pattern.width, pattern.height, title, crisp)}{ground}{body}</svg>"


def coarser(pattern: Pattern) -> Pattern:
    """Two cells by two as one: what most of the four hold, of equals what is further up, then further left.

    >>> coarser(Pattern.of([["beech", "ash"], ["beech", None]])) == Pattern.of([["beech"]])
    True
    """
    rows = []
    for top in range(0, pattern.height, 2):
        row = []
        for left in range(0, pattern.width, 2):
            held = [
                pattern.cell(y, x)
                for y in range(top, min(top + 2, pattern.height))
                for x in range(left, min(left + 2, pattern.width))
            ]
            row.append(max(held, key=held.count))
        rows.append(row)
    return Pattern.of(rows)
