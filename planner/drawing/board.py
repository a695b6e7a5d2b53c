"""The board as laid: every piece in its wood with fine joints."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from planner.drawing.looks import DARK_INK, WoodLook, hex_of, number, opening, shade

# Pieces of one wood never have quite one tone; which piece wears which is fixed by its place.
TONES = (0.965, 1.0, 1.035)


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece to draw, in mm of the finished board; floats, for drawing only."""

    x: float
    y: float
    length: float
    width: float
    wood: str


def board_svg(
    pieces: Iterable[Piece], length: float, height: float, looks: Mapping[str, WoodLook], title: str = ""
) -> str:
    """A board ``length`` by ``height`` mm with rounded corners; a path for each wood's tone and one for all joints."""
    fills: dict[tuple[str, int], list[str]] = defaultdict(list)
    joints = []
    for n, piece in enumerate(pieces):
        corner = f"M{number(piece.x)} {number(piece.y)}"
        box = f"{corner}h{number(piece.length)}v{number(piece.width)}h{number(-piece.length)}z"
        tone = (n * 7 + round(piece.y * 3 + piece.x)) % len(TONES)
        fills[piece.wood, tone].append(box)
        joints.append(box)
    radius = number(min(length, height) * 0.02)
    clip = f"b{abs(hash_of(title, length, height)):x}"
    body = "".join(
        f'<path d="{"".join(boxes)}" fill="{hex_of(shade(looks[wood].rgb, TONES[tone]))}"/>'
        for (wood, tone), boxes in fills.items()
    )
    return (
        f'{opening(length, height, title)}<clipPath id="{clip}"><rect width="{number(length)}" '
        f'height="{number(height)}" rx="{radius}"/></clipPath><g clip-path="url(#{clip})">{body}'
        f'<path d="{"".join(joints)}" fill="none" stroke="{DARK_INK}" stroke-opacity="0.28" '
        f'stroke-width="{number(max(length, height) / 900)}"/></g></svg>'
    )


def hash_of(*parts: object) -> int:
    """A number that is the same every time, so that two boards on one page do not share a clip."""
    total = 0
    for character in repr(parts):
        total = (total * 131 + ord(character)) % (1 << 40)
    return total
