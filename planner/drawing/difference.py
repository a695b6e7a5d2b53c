"""One of two patterns that are compared, in the frame that holds both, with a lozenge on every cell that differs."""

from __future__ import annotations

from collections.abc import Mapping

from planner.difference import Difference
from planner.drawing.looks import DARK_INK, LIGHT_INK, WoodLook, number, opening
from planner.drawing.pattern import wood_paths


def difference_svg(
    found: Difference, looks: Mapping[str | None, WoodLook], *, after: bool, cell: float = 10, title: str = ""
) -> str:
    """The first pattern, or with ``after`` the second one, as rows are laid: one path a wood, and a lozenge, dark
    with a light rim so that it shows on any wood, on each cell that differs. The pattern's own edge is drawn, since
    the frame may be larger."""
    top, left, height, width = found.frame
    pattern = found.second if after else found.first
    down, right = (found.down, found.right) if after else (0, 0)
    x, y = (right - left) * cell, (down - top) * cell
    squares, _ = wood_paths(pattern, looks, cell, x, y, marks=False)
    body = [f'<path d="{d}" fill="{looks[wood].fill}"/>' for wood, d in squares.items()]
    edge = f"M{number(x)} {number(y)}h{number(pattern.width * cell)}v{number(pattern.height * cell)}"
    body.append(
        f'<path d="{edge}h{number(-pattern.width * cell)}z" fill="none" stroke="currentColor" stroke-opacity="0.6" '
        f'stroke-width="{number(cell * 0.08)}"/>'
    )
    half, quarter = number(cell * 0.3), cell * 0.2
    lozenges = "".join(
        f"M{number((c - left + 0.5) * cell)} {number((r - top) * cell + quarter)}l{half} {half}l-{half} {half}"
        f"l-{half} -{half}z"
        for r, c in found.cells
    )
    for ink, wide in ((LIGHT_INK, 0.24), (DARK_INK, 0.1)):
        body.append(
            f'<path d="{lozenges}" fill="none" stroke="{ink}" stroke-width="{number(cell * wide)}" '
            'stroke-linejoin="round"/>'
        )
    return f"{opening(width * cell, height * cell, title)}{''.join(body)}</svg>"
