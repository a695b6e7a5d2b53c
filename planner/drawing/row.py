"""One row as it is laid: its pieces end to end, each wood one path with its marks, drawn higher than it is so that it
is read at an arm's length."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from planner.drawing.looks import DARK_INK, WoodLook, number, opening
from planner.drawing.marks import mark_path

# The drawing is so wide, whatever the row is long, and so high at least.
WIDE = 1000.0
LEAST_HIGH = 130.0
MOST_HIGH = 220.0
_TEXT = 44.0
# A digit of the page's letters is about so wide for its height.
_DIGIT = 0.55


@dataclass(frozen=True, slots=True)
class RowPiece:
    """``length`` and ``width`` in mm as laid, floats, for drawing only; ``tells`` is written on it where there is room
    for it."""

    wood: str
    length: float
    width: float
    tells: str = ""


def places_of(pieces: Sequence[RowPiece], *, mirrored: bool = False) -> list[tuple[float, float]]:
    """Where each piece begins in the drawing and how long it is there, in the order they are laid; ``mirrored`` rows
    begin at the right."""
    whole = sum(piece.length for piece in pieces) or 1.0
    found, at = [], 0.0
    for piece in pieces:
        long = piece.length * WIDE / whole
        found.append((WIDE - at - long if mirrored else at, long))
        at += long
    return found


def row_svg(
    pieces: Sequence[RowPiece], looks: Mapping[str, WoodLook], *, mirrored: bool = False, title: str = ""
) -> str:
    """The row, pieces from left to right, or from the right where it lies face down. A path a wood, one for all joints,
    one a wood for its marks. An empty frame of class "now" waits for the piece that is laid next."""
    whole = sum(piece.length for piece in pieces) or 1.0
    high = min(MOST_HIGH, max(LEAST_HIGH, max((piece.width for piece in pieces), default=0.0) * WIDE / whole))
    fills: dict[str, list[str]] = defaultdict(list)
    marks: dict[str, list[str]] = defaultdict(list)
    words, joints = [], []
    for piece, (x, long) in zip(pieces, places_of(pieces, mirrored=mirrored), strict=True):
        box = f"M{number(x)} 0h{number(long)}v{number(high)}h{number(-long)}z"
        fills[piece.wood].append(box)
        joints.append(box)
        look = looks[piece.wood]
        size = min(long * 0.8, high * 0.36)
        marks[piece.wood].append(mark_path(look.mark, x + (long - size) / 2, high * 0.3 - size / 2, size))
        if piece.tells and len(piece.tells) * _DIGIT * _TEXT <= long * 0.9:
            words.append(
                f'<text x="{number(x + long / 2)}" y="{number(high * 0.84)}" text-anchor="middle" '
                f'font-size="{number(_TEXT)}" font-weight="600" fill="{look.ink}">{escape(piece.tells)}</text>'
            )
    body = "".join(f'<path d="{"".join(boxes)}" fill="{looks[wood].fill}"/>' for wood, boxes in fills.items())
    inked = "".join(
        f'<path d="{"".join(found)}" fill="none" stroke="{looks[wood].ink}" stroke-width="4" stroke-opacity="0.85" '
        'stroke-linecap="round" stroke-linejoin="round"/>'
        for wood, found in marks.items()
    )
    return (
        f'{opening(WIDE, high, title)}{body}<path d="{"".join(joints)}" fill="none" stroke="{DARK_INK}" '
        f'stroke-opacity="0.45" stroke-width="2"/>{inked}{"".join(words)}'
        f'<rect class="now" x="0" y="4" width="0" height="{number(high - 8)}" fill="none"/></svg>'
    )
