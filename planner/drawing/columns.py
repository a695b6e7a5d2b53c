"""How every column of a board moves, as bars side by side: one path, whatever the board's size."""

from __future__ import annotations

from collections.abc import Sequence

from planner.drawing.looks import number, opening

# Drawing units: a column's width, and the longest bar.
WIDE, LONG = 4, 30


def columns_svg(moved: Sequence[float], title: str = "", *, upright: bool = False) -> str:
    """A bar a column, as long as it moves against the one that moves most, from the line of what does not move.
    Shrinking hangs down, growing stands up. Where rows stand upright, columns as laid are rows of the picture, the
    first at the bottom: then bars lie, shrinking to the left.

    >>> 'd="M0 30h4v30h-4zM4 30h4v-15h-4z"' in columns_svg([-1, 0.5])
    True
    """
    most = max((abs(by) for by in moved), default=0) or 1
    bars = [-by / most * LONG for by in moved]
    if upright:
        steps = [
            f"M{LONG} {i * WIDE}h{number(-bar)}v{WIDE}h{number(bar)}z" for i, bar in enumerate(reversed(bars)) if bar
        ]
        wide, high, line = LONG * 2, WIDE * len(bars), f"M{LONG} 0v{WIDE * len(bars)}"
    else:
        steps = [f"M{i * WIDE} {LONG}h{WIDE}v{number(bar)}h-{WIDE}z" for i, bar in enumerate(bars) if bar]
        wide, high, line = WIDE * len(bars), LONG * 2, f"M0 {LONG}h{WIDE * len(bars)}"
    return (
        f'{opening(wide, high, title)}<path d="{"".join(steps)}" fill="currentColor" fill-opacity="0.55"/>'
        f'<path d="{line}" stroke="currentColor" stroke-width="0.8" fill="none"/></svg>'
    )
