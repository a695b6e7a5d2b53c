"""What working drawings are put on: one path a kind of thing, words with their own room, hatches instead of colour.

All in the drawing's own units: millimetres on paper, pixels on a screen (``planner.drawing.marking.room``). Kinds are
painted in the order they are given at the end, whatever order they were drawn in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from html import escape

from planner.drawing.looks import DARK_INK, number, opening
from planner.drawing.marking.ink import stroke
from planner.drawing.marking.letters import wide
from planner.drawing.marking.room import Room

# What stands on no wood: a pale ground that dark ink can be read on, by day and in a dark theme.
GROUND = "#fffdf8"
# The ways a hatch can run, told apart in grey and on any printer.
WAYS = ("rise", "fall", "upright", "level", "crossed", "dots", "squared")


@dataclass(slots=True)
class Canvas:
    """Paths by kind and words. ``fine`` is a hairline, ``text`` the size of type."""

    room: Room
    _paths: dict[str, list[str]] = field(default_factory=dict)
    _texts: list[str] = field(default_factory=list)
    _over: list[str] = field(default_factory=list)

    @property
    def text(self) -> float:
        return self.room.text

    @property
    def line(self) -> float:
        return self.room.line

    @property
    def fine(self) -> float:
        return self.room.fine

    def add(self, kind: str, path: str) -> None:
        self._paths.setdefault(kind, []).append(path)

    def box(self, kind: str, x: float, y: float, long: float, high: float) -> None:
        self.add(kind, f"M{number(x)} {number(y)}h{number(long)}v{number(high)}h{number(-long)}z")

    def shape(self, kind: str, points: Sequence[tuple[float, float]]) -> None:
        """A closed shape through these points."""
        first, *rest = points
        self.add(kind, f"M{_at(first)}" + "".join(f"L{_at(point)}" for point in rest) + "z")

    def level(self, kind: str, x: float, y: float, long: float) -> None:
        self.add(kind, f"M{number(x)} {number(y)}h{number(long)}")

    def upright(self, kind: str, x: float, y: float, high: float) -> None:
        self.add(kind, f"M{number(x)} {number(y)}v{number(high)}")

    def stroke(self, kind: str, points: Sequence[tuple[float, float]]) -> None:
        """An open line through these points."""
        first, *rest = points
        self.add(kind, f"M{_at(first)}" + "".join(f"L{_at(point)}" for point in rest))

    def arrow(self, kind: str, x: float, y: float, long: float, high: float, head: float) -> None:
        """A line from (x, y) by (long, high), one of them nought, with a head at its end."""
        self.stroke(kind, [(x, y), (x + long, y + high)])
        ex, ey = x + long, y + high
        back = -head if long + high > 0 else head
        sides = [(ex + back, ey - head / 2), (ex + back, ey + head / 2)]
        if high:
            sides = [(ex - head / 2, ey + back), (ex + head / 2, ey + back)]
        self.stroke(kind, [sides[0], (ex, ey), sides[1]])

    def hatch(self, kind: str, way: str, x: float, y: float, long: float, high: float, step: float) -> None:
        """Strokes ``step`` apart from edge to edge of a box; those of neighbouring boxes go on in one line."""
        if way == "crossed":
            self._slanted(kind, x, y, long, high, step, rising=True)
            self._slanted(kind, x, y, long, high, step, rising=False)
        elif way in ("rise", "fall"):
            self._slanted(kind, x, y, long, high, step, rising=way == "rise")
        if way in ("upright", "squared"):
            for at in _steps(x, long, step):
                self.upright(kind, at, y, high)
        if way in ("level", "squared"):
            for at in _steps(y, high, step):
                self.level(kind, x, at, long)
        if way == "dots":
            for n, at in enumerate(_steps(y, high, step * 0.8)):
                for dot in _steps(x, long, step, shift=step / 2 * (n % 2)):
                    self.level(kind, dot, at, min(self.fine * 2, x + long - dot))

    def _slanted(self, kind: str, x: float, y: float, long: float, high: float, step: float, rising: bool) -> None:
        """Lines of x + y = c, or of x - y = c, inside the box."""
        origin = x + y if rising else x - y - high
        c = step - origin % step
        while c < long + high:
            # From the corner where the lines begin: along the top first, then down the far side.
            right, left = min(c, long), max(c - high, 0.0)
            low, top = min(c, high), max(c - long, 0.0)
            if right - left > self.fine:
                one = (x + left, y + low if rising else y + high - low)
                other = (x + right, y + top if rising else y + high - top)
                self.add(kind, f"M{_short(one)}L{_short(other)}")
            c += step

    def write(
        self,
        x: float,
        y: float,
        text: str,
        size: float = 0,
        *,
        anchor: str = "start",
        bold: bool = False,
        on: bool = False,
        data: Mapping[str, str] | None = None,
    ) -> None:
        """Words whose line is at ``y``; ``on`` pale ground or wood, whose ink is dark whatever the page is. ``data``
        are what a test reads beside them."""
        weight = ' font-weight="600"' if bold else ""
        place = "" if anchor == "start" else f' text-anchor="{anchor}"'
        more = "".join(f' data-{name}="{escape(value)}"' for name, value in (data or {}).items())
        self._texts.append(
            f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size or self.text)}"{place}{weight}{more} '
            f'fill="{DARK_INK if on else "currentColor"}">{escape(text)}</text>'
        )

    def paragraph(
        self, x: float, y: float, text: str, room: float, size: float = 0, *, bold: bool = False, on: bool = False
    ) -> float:
        """Words in as many lines as they take; returns where the line after them would stand."""
        size = size or self.text
        for line in lines_of(text, size, room):
            self.write(x, y, line, size, bold=bold, on=on)
            y += size * 1.25
        return y

    def put(self, drawn: str) -> None:
        """What was drawn elsewhere, over everything."""
        self._over.append(drawn)

    def svg(
        self,
        height: float,
        title: str,
        said: str,
        kinds: Sequence[tuple[str, str]],
        more: Mapping[str, str] | None = None,
    ) -> str:
        """The drawing. ``kinds`` are (kind, attributes) in the order they lie on each other; ``said`` is the whole of
        it in sentences, for whoever cannot see it; ``more`` are data of the root."""
        data = " ".join(f'data-{name}="{escape(value)}"' for name, value in (more or {}).items())
        unknown = self._paths.keys() - {kind for kind, _ in kinds}
        if unknown:
            raise AssertionError(f"drawn and never painted: {', '.join(sorted(unknown))}")
        paths = "".join(
            f'<path data-kind="{escape(kind)}" d="{"".join(self._paths[kind])}" {attributes}/>'
            for kind, attributes in kinds
            if kind in self._paths
        )
        texts = f'<g font-family="Source Sans Pro, sans-serif">{"".join(self._texts)}</g>'
        head = opening(self.room.width, height, title, data)
        return f"{head}<desc>{escape(said)}</desc>{paths}{texts}{''.join(self._over)}</svg>"


def ink(width: float, more: str = "") -> str:
    """A line on the page itself, in the page's ink."""
    return stroke(width, more, "currentColor")


def lines_of(text: str, size: float, room: float) -> list[str]:
    """The text in lines no wider than ``room``; what a space that does not break holds together stays so.

    >>> lines_of("4 parts of 350\u00a0mm", 10, 60)
    ['4 parts of', '350\xa0mm']
    """
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and wide(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def shortened(text: str, size: float, room: float) -> str:
    """The text, or as much of it as has room, with a mark that it goes on.

    >>> shortened("American sycamore", 10, 60)
    'American s…'
    """
    if wide(text, size) <= room:
        return text
    while text and wide(f"{text}…", size) > room:
        text = text[:-1]
    return f"{text.rstrip()}…"


def _at(point: tuple[float, float]) -> str:
    return f"{number(point[0])} {number(point[1])}"


def _short(point: tuple[float, float]) -> str:
    """A place nobody measures: hatches are most of a drawing's bytes."""
    return f"{point[0]:.2f} {point[1]:.2f}"


def _steps(start: float, long: float, step: float, shift: float = 0.0) -> list[float]:
    """Places ``step`` apart between start and start + long, the same for neighbours; the middle where none falls in."""
    first = start + step - (start + shift) % step
    found = []
    while first < start + long:
        found.append(first)
        first += step
    return found or [start + long / 2]
