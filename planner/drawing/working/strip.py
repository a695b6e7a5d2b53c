"""One row to lay as a strip to scale: where each piece lies and of which wood, told apart by marks as well."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from planner.drawing.looks import WoodLook, number, opening
from planner.drawing.marking.ink import Sheet
from planner.drawing.working.woods import Woods, inked

_FINE, _MARK_SHARE = 0.13, 0.62


def strip_svg(
    pieces: Sequence[tuple[str, Fraction]],
    looks: Mapping[str, WoodLook],
    *,
    width: float = 85,
    high: float = 5,
    title: str = "",
) -> str:
    """Pieces as (wood, length in mm) from left to right, ``width`` long altogether, in millimetres on paper. The root's
    ``data-along`` is drawing units a millimetre."""
    along = width / float(sum(long for _, long in pieces))
    used = dict.fromkeys(wood for wood, _ in pieces)
    sheet = Sheet(along, 1, 0, 0, _FINE)
    woods = Woods(sheet, {wood: inked(looks[wood]) for wood in used}, high * _MARK_SHARE)
    at = Fraction(0)
    for wood, long in pieces:
        woods.piece(wood, float(at) * along, 0, float(long) * along, high)
        at += long
    sheet.add("joints", f"M{number(width)} 0v{number(high)}h{number(-width)}")
    size = f'width="{number(width)}mm" height="{number(high)}mm" data-along="{along:.9g}"'
    return f"{opening(width, high, title, size)}{woods.painted(_FINE)}</svg>"
