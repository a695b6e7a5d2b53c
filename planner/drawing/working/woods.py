"""Woods of a working drawing: one path a wood and one for its marks, ink that can be read on each, and their key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from html import escape

from planner.drawing.looks import WoodLook, hex_of, luminance, number, shade
from planner.drawing.marking.ink import PAPER, Sheet, blend, stroke
from planner.drawing.marking.letters import wide
from planner.drawing.marking.room import Room
from planner.drawing.marks import mark_path

# What WCAG 2.2 asks of text (1.4.3); marks on wood are held to the same.
CONTRAST = 4.5
# Marks smaller than so many hairlines are no marks.
_LEAST_MARK = 5


def contrast(one: tuple[int, int, int], other: tuple[int, int, int]) -> float:
    """Of two colours (WCAG 2.2), 1 to 21."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def inked(look: WoodLook) -> WoodLook:
    """The wood as it is finished, or by as little lighter or darker as its mark needs to be read in grey as well.

    >>> inked(WoodLook("Walnut", (83, 56, 42), "bar")).rgb
    (83, 56, 42)
    """
    for percent in range(100):
        for rgb in (blend(look.rgb, percent / 100), shade(look.rgb, 1 - percent / 100)):
            drawn = replace(look, rgb=rgb)
            ink = drawn.ink
            if contrast(rgb, (int(ink[1:3], 16), int(ink[3:5], 16), int(ink[5:], 16))) >= CONTRAST:
                return drawn
    return replace(look, rgb=PAPER)


def rectangle(x: float, y: float, long: float, high: float) -> str:
    return f"M{number(x)} {number(y)}h{number(long)}v{number(high)}h{number(-long)}z"


@dataclass(slots=True)
class Woods:
    """Gathers pieces on a sheet by wood. ``looks`` as they are drawn; marks are ``mark`` large where there is room.
    ``plain`` is the wood that goes without: what bears no mark is of it. ``aside`` is where a line crosses the board
    that marks keep clear of."""

    sheet: Sheet
    looks: Mapping[str, WoodLook]
    mark: float
    plain: str = ""
    aside: float | None = None

    @property
    def has_marks(self) -> bool:
        """Whether a tile is large enough for its mark to be seen."""
        return self.mark >= self.sheet.fine * _LEAST_MARK

    def piece(self, wood: str, x: float, y: float, long: float, high: float) -> None:
        """A piece in drawing units with its wood's mark, and the joints at its left and its top."""
        self.sheet.add(f"wood {wood}", rectangle(x, y, long, high))
        self.sheet.add("joints", f"M{number(x)} {number(y + high)}v{number(-high)}h{number(long)}")
        size = min(self.mark, long * 0.7, high * 0.7)
        if wood != self.plain and size >= self.sheet.fine * _LEAST_MARK:
            middle = x + long / 2
            if self.aside is not None and abs(middle - self.aside) < size * 0.75:
                middle = x + long / 4
            self.mark_at(wood, middle, y + high / 2, size)

    def mark_at(self, wood: str, x: float, y: float, size: float) -> None:
        """The mark of a wood with its middle at a place."""
        self.sheet.add(f"mark {wood}", mark_path(self.looks[wood].mark, x - size / 2, y - size / 2, size))

    def painted(self, joint: float) -> str:
        """Woods, then joints ``joint`` wide as dark lines with a light edge, which are seen between dark woods and
        between light ones, then marks."""
        sheet = self.sheet
        woods, marks = "", ""
        width = max(self.mark * 0.12, sheet.fine * 1.2)
        for wood, look in self.looks.items():
            named = f'data-wood="{escape(wood)}"'
            woods += sheet.path(f"wood {wood}", f'{named} fill="{look.fill}"')
            strokes = f'{named} stroke-linecap="round" stroke-linejoin="round"'
            marks += sheet.path(f"mark {wood}", stroke(width, strokes, look.ink))
        edges = sheet.path("joints", stroke(joint * 2.6, 'data-under="joints"', hex_of(PAPER)))
        return woods + edges + sheet.path("joints", stroke(joint)) + marks


def key(
    sheet: Sheet, looks: Mapping[str, WoodLook], words: Mapping[str, str], top: float, room: Room
) -> tuple[str, float]:
    """Every wood as a square with its mark, its name and ``words`` after it, in as many lines as it takes from ``top``
    on; returns what is painted and where it ends."""
    side = room.text * 1.35
    x, y, body = 0.0, top, ""
    for wood, look in looks.items():
        text = f"{look.name}{words[wood]}"
        long = side + room.text * 0.4 + wide(text, room.text)
        if x and x + long > room.width:
            x, y = 0.0, y + side * 1.3
        body += swatch(look, x, y, side, room, f'data-key="{escape(wood)}"')
        sheet.write(x + side + room.text * 0.4, y + side * 0.5 + room.text * 0.34, text, room.text)
        x += long + room.text * 1.2
    return body, y + side * 1.3


def swatch(look: WoodLook, x: float, y: float, side: float, room: Room, more: str = "") -> str:
    """A square of the wood with its mark."""
    width = f'stroke-width="{number(room.text * 0.11)}" stroke-linecap="round" stroke-linejoin="round"'
    square = (
        f'<path {more} d="{rectangle(x + room.fine, y, side, side)}" fill="{look.fill}" stroke="currentColor" '
        f'stroke-width="{number(room.fine)}"/>'
    )
    if not look.mark:
        return square
    mark = mark_path(look.mark, x + side * 0.12, y + side * 0.12, side * 0.76)
    return f'{square}<path d="{mark}" fill="none" stroke="{look.ink}" {width}/>'
