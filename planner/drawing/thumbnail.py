"""A pattern in small: its woods and nothing else, light enough to stand several times on one page."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from planner.drawing.looks import WoodLook, opening
from planner.pattern import Pattern


def thumbnail_svg(pattern: Pattern, looks: Mapping[str | None, WoodLook], title: str = "") -> str:
    """The pattern as one path a wood, a stroke a run, with neither marks nor lines nor numbers.

    A cell is one unit, and each step is written from where the last one ended: six to eight bytes a run. ``looks``
    holds the woods to draw; ``looks[None]``, where given, lies behind them all. Edges are kept crisp, for a stroke
    blurred at its sides would leave a seam between two rows of one wood.

    >>> from planner.pattern import Pattern
    >>> beech = WoodLook("Beech", (205, 157, 117), "bar")
    >>> "M0 .5h2m1 0h1" in thumbnail_svg(Pattern.of([["beech", "beech", None, "beech"]]), {"beech": beech})
    True
    """
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
