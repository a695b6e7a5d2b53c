"""How much further each column of a board moves than the one that moves least: one path, whatever the board's size."""

from __future__ import annotations

from collections.abc import Sequence

from planner.drawing.looks import number, opening

# Drawing units: a column's width, and the longest bar.
WIDE, LONG = 4, 30


def columns_svg(moved: Sequence[float], title: str = "", *, upright: bool = False) -> str:
    """A bar a column from the line of the one that moves least, the longest for the one that moves most. Empty where
    all move alike, for nothing would be seen.

    Where rows stand upright, columns as laid are rows of the picture, the first at the bottom: then bars lie.

    >>> 'd="M4 0h4v30h-4zM8 0h4v15h-4z"' in columns_svg([-1, -3, -2])
    True
    """
    far = [abs(by) for by in moved]
    span = max(far, default=0) - min(far, default=0)
    if not span:
        return ""
    bars = [(by - min(far)) / span * LONG for by in far]
    if upright:
        bars.reverse()
        steps = [f"M0 {i * WIDE}h{number(bar)}v{WIDE}h{number(-bar)}z" for i, bar in enumerate(bars) if bar]
        wide, high, line = LONG, WIDE * len(bars), f"M0 0v{WIDE * len(bars)}"
    else:
        steps = [f"M{i * WIDE} 0h{WIDE}v{number(bar)}h-{WIDE}z" for i, bar in enumerate(bars) if bar]
        wide, high, line = WIDE * len(bars), LONG, f"M0 0h{WIDE * len(bars)}"
    return (
        f'{opening(wide, high, title, _CORNER)}<path d="{"".join(steps)}" fill="currentColor" fill-opacity="0.55"/>'
        f'<path d="{line}" stroke="currentColor" fill="none"/></svg>'
    )


_CORNER = 'preserveAspectRatio="xMinYMin"'
