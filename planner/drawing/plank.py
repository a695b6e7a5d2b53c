"""A small plank of a wood, to stand wherever the wood is named."""

from __future__ import annotations

from math import sin

from planner.drawing.board import hash_of
from planner.drawing.looks import WoodLook, hex_of, number, opening, shade
from planner.drawing.marks import mark_path


def plank_svg(look: WoodLook, *, length: float = 72, width: float = 20, mark: bool = True, title: str = "") -> str:
    """A plank with a few lines of grain drawn from the wood's name, its mark at the right end. Decorative: the
    wood's name always stands beside it in words. On paper, where a drawing needs words, ``title`` gives them."""
    seed = hash_of(look.name)
    grain = []
    for i in range(5):
        y = width * (0.12 + 0.19 * i) + (seed >> (3 * i) & 7) * 0.25
        bend = 0.5 + (seed >> (5 * i) & 15) / 9
        points = " ".join(
            f"{number(x)} {number(y + bend * sin(x / length * (2.2 + i * 0.4) + (seed >> i & 31)))}"
            for x in (length * k / 6 for k in range(7))
        )
        grain.append(f"M{points}")
    strokes = hex_of(shade(look.rgb, 0.82))
    stamp = ""
    if mark:
        stamp = (
            f'<path d="{mark_path(look.mark, length - width * 0.95, width * 0.1, width * 0.8)}" fill="none" '
            f'stroke="{look.ink}" stroke-width="1.4" stroke-linecap="round" stroke-linejoin="round"/>'
        )
    size = f'width="{number(length)}" height="{number(width)}"'
    return (
        f"{opening(length, width, title, size)}"
        f'<rect width="{number(length)}" height="{number(width)}" rx="1.5" fill="{look.fill}"/>'
        f'<path d="{"".join(grain)}" fill="none" stroke="{strokes}" stroke-width="0.8" stroke-opacity="0.8"/>'
        f"{stamp}</svg>"
    )
