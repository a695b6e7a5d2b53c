"""How large the words of a label or a tag may be, so that all of them lie on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from planner.measures import Length
from shopapp.lumber.labels.codes import squares_across
from shopapp.lumber.labels.papers import FINEST_SQUARE, PADDING, Paper

from .planning import lines_of

# Type in points, largest first; smaller is not read at arm's length (common practice, no source).
SIZES = tuple(Fraction(half, 2) for half in range(22, 12, -1))
POINT = Fraction(254, 720)
# The height of a line, and how much larger than the rest title and price are set, by the style sheet.
LINE, TITLE, PRICE = Fraction(122, 100), Fraction(13, 10), Fraction(2)


@dataclass(frozen=True)
class Room:
    """Where words go on a label: beside the code, ``wide`` by ``high``, in millimetres."""

    wide: Fraction
    high: Fraction


def code_side(paper: Paper) -> Length:
    """As large as the label's height and a third of its width allow; no larger than a hand's width away needs."""
    return min(paper.height - PADDING * 2, Length(paper.width.mm / 3), Length.of_mm(28))


def code_is_readable(paper: Paper, longest: str) -> bool:
    """Whether the squares of the longest code are coarse enough for a camera; no code at all is read by nobody."""
    return not longest or code_side(paper).mm / squares_across(longest) >= FINEST_SQUARE.mm


def room_of(paper: Paper, *, with_code: bool) -> Room:
    taken = code_side(paper).mm + PADDING.mm if with_code else 0
    return Room(paper.width.mm - PADDING.mm * 2 - taken, paper.height.mm - PADDING.mm * 2)


def size_for(paper: Paper, piece: Mapping[str, Any], maker: Sequence[str]) -> Fraction | None:
    """The largest type at which all of a label's words fit beside its code; None where they do not fit at all."""
    room = room_of(paper, with_code=bool(piece["code"]))
    return next((size for size in SIZES if _height(piece, maker, size * POINT, room) <= room.high), None)


def _height(piece: Mapping[str, Any], maker: Sequence[str], line: Fraction, room: Room) -> Fraction:
    """What the words take at type of ``line`` millimetres."""
    wide = float(room.wide)
    title = lines_of([f"No. {piece['number']}, {piece['title']}"], float(line * TITLE), wide) * TITLE
    price = PRICE if "price" in piece else 0
    rest = lines_of([*paragraphs(piece), *maker], float(line), wide)
    return (title + price + rest) * line * LINE


def paragraphs(piece: Mapping[str, Any]) -> list[str]:
    """What stands under the title, in its order, each beginning a line."""
    names = ("names", "size", "finish", "short", "contact", "nut", "abroad", "warnings")
    return [piece[name] for name in names if piece.get(name)]
