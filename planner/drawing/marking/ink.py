"""Fills and strokes of a marking-out drawing: one path a kind, dark lines on light wood, read in grey as in colour."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape

from planner.drawing.looks import DARK_INK, Rgb, WoodLook, hex_of, luminance, number
from planner.drawing.marking.laid import Box
from planner.drawing.marking.letters import wide, wrapped

PAPER: Rgb = (255, 253, 248)
# Dark woods are drawn lighter than they are oiled, so that every line and letter on them is dark and can be read:
# contrast to the ink at least 4.5 to 1, what WCAG 2.2 asks of text (1.4.3).
LIGHTEST_NEEDED = 0.27
# What becomes no part keeps so much of the wood's colour.
KEPT_TINT = 0.22


def part_fill(look: WoodLook) -> Rgb:
    """The wood as its parts are drawn: its finished colour, or as much nearer to paper as dark lines need."""
    for percent in range(101):
        rgb = blend(look.rgb, percent / 100)
        if luminance(rgb) >= LIGHTEST_NEEDED:
            return rgb
    return PAPER


def rest_fill(look: WoodLook) -> Rgb:
    """The wood that becomes no part: nearly paper."""
    return blend(look.rgb, 1 - KEPT_TINT)


def blend(rgb: Rgb, share: float) -> Rgb:
    """The colour with so large a ``share`` of paper, 0 to 1."""
    r, g, b = (round(a + (p - a) * share) for a, p in zip(rgb, PAPER, strict=True))
    return r, g, b


@dataclass(slots=True)
class Sheet:
    """Boxes in units of the plan, drawn ``along`` and ``across`` drawing units a unit from (``left``, ``top``).
    ``fine`` is the width of a hairline."""

    along: float
    across: float
    left: float
    top: float
    fine: float
    _paths: dict[str, list[str]] = field(default_factory=dict)
    _texts: list[str] = field(default_factory=list)

    def x(self, units: float) -> float:
        return self.left + units * self.along

    def y(self, units: float) -> float:
        return self.top + units * self.across

    def add(self, kind: str, path: str) -> None:
        self._paths.setdefault(kind, []).append(path)

    def box(self, kind: str, box: Box) -> None:
        long, high = box.long * self.along, box.wide * self.across
        self.add(
            kind, f"M{number(self.x(box.x))} {number(self.y(box.y))}h{number(long)}v{number(high)}h{number(-long)}z"
        )

    def upright(self, kind: str, x: float, y: float, high: float) -> None:
        """A line across the board, in drawing units."""
        self.add(kind, f"M{number(x)} {number(y)}v{number(high)}")

    def level(self, kind: str, x: float, y: float, long: float) -> None:
        """A line along the board, in drawing units."""
        self.add(kind, f"M{number(x)} {number(y)}h{number(long)}")

    def hatch(self, kind: str, box: Box, step: float) -> None:
        """Strokes that rise to the right, ``step`` apart along the board, from edge to edge of the box."""
        x0, y0 = self.x(box.x), self.y(box.y)
        long, high = box.long * self.along, box.wide * self.across
        # Strokes of neighbouring boxes go on in one line.
        start = step - (x0 + y0) % step
        c = start
        while c < long + high:
            right, low = min(c, long), max(c - long, 0.0)
            left, deep = max(c - high, 0.0), min(c, high)
            if right - left > self.fine:
                run, rise = self._short(right - left), self._short(low - deep)
                gap = "" if rise.startswith("-") else " "
                self.add(kind, f"M{self._short(x0 + left)} {self._short(y0 + deep)}l{run}{gap}{rise}")
            c += step

    def _short(self, value: float) -> str:
        """A coordinate nobody measures: hatches are most of a drawing's bytes."""
        return f"{value:.{1 if self.fine > 0.3 else 2}f}".rstrip("0").rstrip(".")

    def dots(self, kind: str, box: Box, step: float) -> None:
        """Staggered rows for dots ``step`` apart, a level line each that is dashed to dots; one in the middle where
        the box has no room for more."""
        x0, y0 = self.x(box.x), self.y(box.y)
        long, high = box.long * self.along, box.wide * self.across
        rows = max(int(high / step), 1)
        for row in range(rows):
            start = step * (0.4 if row % 2 else 0.9)
            if start < long:
                self.level(kind, x0 + start, y0 + high * (row + 0.5) / rows, long - start - self.fine)

    def cross(self, kind: str, box: Box) -> None:
        """Both diagonals."""
        x0, y0 = self.x(box.x), self.y(box.y)
        long, high = box.long * self.along, box.wide * self.across
        self.add(
            kind,
            f"M{number(x0)} {number(y0)}l{number(long)} {number(high)}M{number(x0)} {number(y0 + high)}"
            f"l{number(long)} {number(-high)}",
        )

    def write(
        self,
        x: float,
        y: float,
        text: str,
        size: float,
        *,
        anchor: str = "start",
        bold: bool = False,
        on: bool = False,
        upright: bool = False,
    ) -> None:
        """Words whose line is at ``y``; ``on`` wood, whose ink is dark whatever the page is; ``upright`` words run
        upwards from there, to be read from the right."""
        weight = ' font-weight="600"' if bold else ""
        place = "" if anchor == "start" else f' text-anchor="{anchor}"'
        turned = f' transform="rotate(-90 {number(x)} {number(y)})"' if upright else ""
        self._texts.append(
            f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}"{place}{weight}{turned} '
            f'fill="{DARK_INK if on else "currentColor"}">{escape(text)}</text>'
        )

    def note(self, left: float, y: float, text: str, size: float, room: float) -> float:
        """A small note from ``left`` on, or from nought in as many lines as it takes; returns its last line."""
        if left + wide(text, size) > room:
            left = 0
        lines = wrapped(text, size, room)
        for n, line in enumerate(lines):
            self.write(left, y + n * size * 1.3, line, size)
        return y + (len(lines) - 1) * size * 1.3

    def path(self, kind: str, attributes: str) -> str:
        """The one path of a kind; nothing where there is none of it."""
        found = self._paths.get(kind)
        return f'<path data-kind="{kind}" d="{"".join(found)}" {attributes}/>' if found else ""

    def texts(self) -> str:
        return f'<g font-family="Source Sans Pro, sans-serif">{"".join(self._texts)}</g>'


def stroke(width: float, more: str = "", colour: str = DARK_INK) -> str:
    return f'fill="none" stroke="{colour}" stroke-width="{number(width)}"{f" {more}" if more else ""}'


def saw_line(kerf: int, least: int, scale: float, fine: float) -> float:
    """How wide a kerf is drawn: as it is, or as much wider as it takes to be seen, so long as what lies between two
    cuts, ``least`` units at the narrowest, is still seen beside it."""
    return max(kerf * scale, min(fine * 1.6, (least + kerf) * scale * 0.4))


def painted(sheet: Sheet, look: WoodLook, crosscut: float, rip: float, step: float, paths: Iterable[str] = ()) -> str:
    """Everything on the wood in the order it lies on each other. ``crosscut`` and ``rip`` are how wide the kerfs are
    drawn (``saw_line``), ``step`` how far dots are apart."""
    fine = sheet.fine
    return "".join(
        (
            sheet.path("board", f'fill="{hex_of(rest_fill(look))}"'),
            sheet.path("parts", f'fill="{hex_of(part_fill(look))}"'),
            sheet.path("waste", stroke(fine)),
            sheet.path("grip", stroke(fine * 3.2, f'stroke-linecap="round" stroke-dasharray="0.01 {number(step)}"')),
            sheet.path("crosscuts", stroke(crosscut)),
            sheet.path("rips", stroke(rip)),
            sheet.path("sawn", f'fill="{DARK_INK}"'),
            sheet.path("offcuts", stroke(fine * 3, f'stroke-dasharray="{number(fine * 12)} {number(fine * 6)}"')),
            sheet.path("bad", stroke(fine * 2.5)),
            sheet.path("edges", stroke(fine * 1.2)),
            sheet.path("outline", stroke(fine * 2)),
            sheet.path("plates", f'fill="{hex_of(part_fill(look))}"'),
            sheet.path("pale plates", f'fill="{hex_of(rest_fill(look))}"'),
            sheet.path("lines", stroke(fine * 1.4, colour="currentColor")),
            *paths,
            sheet.texts(),
        )
    )
