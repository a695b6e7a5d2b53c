"""What drawings of set-ups have in common: a scale, pieces of wood with their grain, fences and stops, dimensions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from planner.drawing.looks import DARK_INK, WoodLook, hex_of
from planner.drawing.marking.ink import Sheet, part_fill, rest_fill, stroke
from planner.drawing.marking.letters import wide
from planner.drawing.marking.room import SCALES, Room
from planner.drawing.marks import mark_path
from planner.drawing.working.canvas import GROUND, Canvas, ink
from planner.drawing.working.dimensions import Dimensions, Lane, Says, Span, lane, says_in
from planner.measures import ZERO, Length

# So many times as large as it is at the most: a tile of 10 mm is then drawn 20 mm long on paper.
_LARGEST = Fraction(2)
# Of the drawing's width a millimetre drawn so large, for pages that have no millimetres.
_A_MM = 1 / 180
# Where lines of grain lie across a piece: uneven, as grain is.
_GRAIN = (0.13, 0.24, 0.41, 0.52, 0.69, 0.83, 0.92)


@dataclass(frozen=True, slots=True)
class Blades:
    """What the blade of each saw turns to dust; ``resaw`` nought where it is not known."""

    crosscut: Length
    rip: Length
    resaw: Length = ZERO


@dataclass(frozen=True, slots=True)
class Picture:
    """Where a machine's drawing ends, drawing units a millimetre, and what is said of that."""

    foot: float
    scale: float
    words: str


def scale_for(room: Room, most: float) -> tuple[float, str]:
    """Drawing units a millimetre, ``most`` at the most and never larger than twice as large, and what is said of it."""
    most = min(most, float(_LARGEST) * (1.0 if room.on_paper else room.width * _A_MM))
    if room.on_paper:
        for scale in (1 / _LARGEST, *SCALES):
            if 1 / scale <= most:
                return float(1 / scale), f"{1 / scale} : 1" if scale < 1 else f"1 : {float(scale):g}"
    return most, "to scale"


class Machine:
    """A machine from above or from the side. Nought millimetres lie at (``left``, ``top``); what is given in
    millimetres is so called, all else is in drawing units."""

    def __init__(self, canvas: Canvas, look: WoodLook, unit: str, scale: float, left: float, top: float) -> None:
        self.canvas, self.look, self.scale = canvas, look, scale
        self.left, self.top = left, top
        self.say: Says = says_in(unit)
        self.sheet = Sheet(scale, scale, left, top, canvas.fine)
        self.dimensions = Dimensions(self.sheet, canvas.room)

    def x(self, mm: float) -> float:
        return self.left + mm * self.scale

    def wood(
        self, x: float, y: float, long: float, high: float, *, broken: str = "", along: str = "x", waste: bool = False
    ) -> None:
        """A piece with its grain ``along`` x or y; ``broken`` are the sides it goes on at, of "left right top low"."""
        if long <= 0 or high <= 0:
            return
        canvas = self.canvas
        kind = "waste" if waste else "wood"
        canvas.shape(kind, _outline(x, y, long, high, broken, canvas.text * 0.25))
        if waste:
            canvas.hatch("waste hatch", "rise", x, y, long, high, canvas.text * 0.42)
            return
        inset = canvas.text * 0.35
        for share in _GRAIN:
            if along == "x" and long > 2 * inset and high > canvas.fine * 12:
                canvas.level("grain", x + inset * (1 + share), y + share * high, long - 2 * inset * (1 + share))
            elif along == "y" and high > 2 * inset and long > canvas.fine * 12:
                canvas.upright("grain", x + share * long, y + inset * (1 + share), high - 2 * inset * (1 + share))

    def stamp(self, x: float, y: float) -> None:
        """The wood's mark on its piece, where (x, y) is its middle."""
        if self.look.mark:
            side = self.canvas.text * 1.1
            self.plate(x, y, side * 1.15, side * 1.15)
            self.canvas.add("mark", mark_path(self.look.mark, x - side / 2, y - side / 2, side))

    def plate(self, x: float, y: float, long: float, high: float) -> None:
        self.canvas.box("plates", x - long / 2, y - high / 2, long, high)

    def label(self, x: float, y: float, words: Sequence[str], room: float) -> bool:
        """The first of ``words`` that has room, on the wood about (x, y); whether any had."""
        size = self.canvas.text * 0.95
        for text in words:
            long = wide(text, size)
            if long + size * 0.5 <= room:
                self.plate(x, y, long + size * 0.4, size * 1.15)
                self.canvas.write(x, y + size * 0.34, text, size, anchor="middle", bold=True, on=True)
                return True
        return False

    def fixed(self, x: float, y: float, long: float, high: float) -> None:
        """Something of the machine that stands still: a fence, a stop."""
        self.canvas.box("fixed", x, y, long, high)
        self.canvas.hatch("fixed hatch", "fall", x, y, long, high, self.canvas.text * 0.5)

    def hold(self, x: float, y: float, long: float, high: float) -> None:
        """A hold-down, seen from above."""
        self.canvas.box("holds", x, y, long, high)
        self.canvas.stroke("held", [(x, y), (x + long, y + high)])
        self.canvas.stroke("held", [(x, y + high), (x + long, y)])

    def blade(self, near: float, kerf: float, y: float, high: float) -> None:
        """``kerf`` mm of blade whose near side is at ``near`` mm, on the side of nought; from above."""
        self.canvas.box("blade", self.x(near - kerf), y, kerf * self.scale, high)

    def feed(self, x: float, y: float, high: float, words: str = "") -> None:
        """Which way wood or sled is pushed: up the drawing for a height below nought."""
        canvas = self.canvas
        canvas.arrow("feed", x, y, 0, high, canvas.text * 0.55)
        if words:
            canvas.write(x + canvas.text * 0.45, y - canvas.text * 0.1, words, canvas.text * 0.9)

    def depth(self, spans: Sequence[Span]) -> float:
        """How deep a row of dimensions is."""
        return lane(spans, self.scale, self.say, self.canvas.text).depth(self.canvas.room)

    def measure(self, spans: Sequence[Span], y: float, edge: float, out: int) -> None:
        """A row of dimensions in millimetres at ``y``."""
        self.dimensions.level(lane(spans, self.scale, self.say, self.canvas.text), y, edge, out)

    def has_room(self, across: Length) -> bool:
        """Whether the number of a size across stands along its own line."""
        text = self.canvas.text
        return wide(self.say(across.mm), text) + text * 0.6 <= float(across.mm) * self.scale

    def measure_up(self, span: Span, x: float, edge: float, beside: tuple[float, float] | None = None) -> None:
        """A dimension across, from ``top`` down; ``beside`` is where its number begins that has no room along it."""
        text = self.canvas.text
        if beside is None or self.has_room(Length(span.mm)):
            self.dimensions.upright(lane([span], self.scale, self.say, text), x, edge)
            return
        bare = Lane((span,), self.scale, text, ())
        self.dimensions.upright(bare, x, edge)
        self.canvas.write(*beside, self.say(span.mm))

    def done(self) -> None:
        """Put the dimensions over everything."""
        self.canvas.put(self.dimensions.painted() + self.sheet.texts())


def kinds_of(canvas: Canvas, look: WoodLook) -> list[tuple[str, str]]:
    """What a machine's drawing paints, in the order it lies on each other."""
    fine = canvas.fine
    edge = f'stroke="{DARK_INK}" stroke-width="{fine * 1.4:.3g}"'
    dashes = f'stroke-dasharray="{canvas.text * 0.5:.3g} {canvas.text * 0.3:.3g}"'
    round_ = 'stroke-linecap="round" stroke-linejoin="round"'
    return [
        ("table", ink(fine)),
        ("wood", f'fill="{hex_of(part_fill(look))}" {edge}'),
        ("waste", f'fill="{hex_of(rest_fill(look))}" {edge}'),
        ("waste hatch", stroke(fine)),
        ("grain", stroke(fine * 1.2, 'stroke-opacity="0.45"')),
        ("plates", f'fill="{hex_of(part_fill(look))}"'),
        ("mark", stroke(canvas.text * 0.12, round_)),
        ("fixed", f'fill="{GROUND}" {edge}'),
        ("fixed hatch", stroke(fine)),
        ("spacer", ink(fine * 2, dashes)),
        ("to be cut", stroke(fine * 1.6, dashes)),
        ("holds", f'fill="{GROUND}" fill-opacity="0.85" {edge}'),
        ("held", stroke(fine)),
        # Where the kerf is finer than a hairline its own edge still shows it.
        ("blade", f'fill="{DARK_INK}" stroke="currentColor" stroke-width="{fine * 0.8:.3g}"'),
        ("leader", ink(fine)),
        ("feed", ink(fine * 2.6, round_)),
    ]


def _outline(x: float, y: float, long: float, high: float, broken: str, jag: float) -> list[tuple[float, float]]:
    """A box whose broken sides are jagged."""
    right, low = x + long, y + high
    sides = {
        "top": ((x, y), (right, y)),
        "right": ((right, y), (right, low)),
        "low": ((right, low), (x, low)),
        "left": ((x, low), (x, y)),
    }
    points: list[tuple[float, float]] = []
    for name, ((ax, ay), (bx, by)) in sides.items():
        points.append((ax, ay))
        if name in broken.split():
            level = ay == by
            jag_here = min(jag, (high if level else long) * 0.3)
            for share, out in ((0.4, 0.0), (0.46, 1.0), (0.54, -1.0), (0.6, 0.0)):
                px, py = ax + (bx - ax) * share, ay + (by - ay) * share
                points.append((px, py + out * jag_here) if level else (px + out * jag_here, py))
    return points
