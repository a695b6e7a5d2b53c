"""Dimension lines in the maker's unit: each carries what it measures, so that a drawing can be measured back."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from html import escape

from planner.drawing.looks import number
from planner.drawing.marking.flags import flags
from planner.drawing.marking.ink import Sheet
from planner.drawing.marking.letters import OVER_LINE, UNDER_LINE, wide
from planner.drawing.marking.room import Room
from planner.measures import Length, format_length

Says = Callable[[Fraction], str]
# In sizes of type: what is left beside words, and from one line of dimensions to the next, so that the ends of one
# stand clear of the words on the other.
_PAD, _STEP = 0.3, 1.5


def depth_of(lanes: Sequence[Lane], room: Room) -> float:
    return sum(lane.depth(room) for lane in lanes)


def says_in(unit: str) -> Says:
    """Millimetres as they are written on a drawing in ``unit``, "mm" or "in": without the unit's name, a fraction well
    away from the whole before it, lest 2 1/4 be read as 21/4."""
    return lambda mm: _said(mm, unit)


# The same few lengths are said again on every drawing of a board, and while room is looked for.
@lru_cache(1 << 12)
def _said(mm: Fraction, unit: str) -> str:
    return format_length(Length(mm), unit, with_unit=False).replace(" ", "\u00a0\u00a0")


def unit_words(unit: str) -> str:
    return "inches" if unit == "in" else "millimetres"


@dataclass(frozen=True, slots=True)
class Span:
    """What is measured, from and to in millimetres of the sheet, and what is said before the number where there is
    room for it, in the order it is tried. ``named`` where the number is never without its last word."""

    name: str
    begin: Fraction
    end: Fraction
    words: tuple[str, ...] = ()
    named: bool = False

    @property
    def mm(self) -> Fraction:
        return self.end - self.begin


@dataclass(frozen=True, slots=True)
class _Label:
    """Words that begin at ``at`` along their line; in ``row`` 0 over the line or beside its end, else further out."""

    text: str
    at: float
    row: int
    pin: float

    def end(self, size: float) -> float:
        return self.at + wide(self.text, size)


@dataclass(frozen=True, slots=True)
class Lane:
    """Dimensions in one line, from left to right, drawn ``scale`` units a millimetre."""

    spans: tuple[Span, ...]
    scale: float
    size: float
    labels: tuple[_Label, ...]

    @property
    def rows(self) -> int:
        return max(label.row for label in self.labels)

    @property
    def before(self) -> float:
        """How far words reach before nought."""
        return max(0.0, -min(label.at for label in self.labels))

    def after(self, mm: Fraction) -> float:
        """How far words reach past so many millimetres."""
        return max(0.0, max(label.end(self.size) for label in self.labels) - float(mm) * self.scale)

    def depth(self, room: Room) -> float:
        """How much it takes across its line, words and all."""
        return room.text * _STEP * (1 + self.rows)


@dataclass(frozen=True, slots=True)
class Line:
    """Dimensions in one line before it is known how large they are drawn: ``size`` of the type, and of each span where
    it begins, how long it is and twice its middle, in millimetres, and what may be written on it."""

    spans: tuple[Span, ...]
    size: float
    places: tuple[tuple[float, float, float], ...]
    texts: tuple[tuple[str, ...], ...]

    @classmethod
    def of(cls, spans: Sequence[Span], say: Says, size: float) -> Line:
        places = tuple((float(span.begin), float(span.mm), float(span.begin + span.end)) for span in spans)
        return cls(tuple(spans), size, places, tuple(_texts(span, say) for span in spans))

    def at(self, scale: float) -> Lane:
        """Where the words go: in the middle of their lines where they fit, with their word or without; the first and
        the last beside their lines else; and all of them further out, each tied to its line, where even that has no
        room."""
        size, last = self.size, len(self.spans) - 1
        gap = size * _PAD
        labels: list[_Label] = []
        for n, ((from_mm, long_mm, _), texts) in enumerate(zip(self.places, self.texts, strict=True)):
            begin, long, bare = from_mm * scale, long_mm * scale, texts[-1]
            fit = next((text for text in texts if wide(text, size) + 2 * gap <= long), None)
            middle = begin + long / 2
            if fit is not None:
                labels.append(_Label(fit, middle - wide(fit, size) / 2, 0, middle))
            elif n and bare == self.texts[0][-1]:
                # Borders are as wide at both ends: it is said at the first.
                continue
            elif n == last and n:
                labels.append(_Label(bare, begin + long + gap, 0, middle))
            elif n == 0:
                labels.append(_Label(bare, begin - gap - wide(bare, size), 0, middle))
            else:
                break
        else:
            return Lane(self.spans, scale, size, tuple(labels))
        places = [(both / 2 * scale, texts[-1]) for (*_, both), texts in zip(self.places, self.texts, strict=True)]
        pinned = [
            _Label(flag.text, flag.x - wide(flag.text, size) - gap / 2, flag.row + 1, flag.x)
            for flag in flags(places, size, gap)
        ]
        return Lane(self.spans, scale, size, tuple(pinned))


def lane(spans: Sequence[Span], scale: float, say: Says, size: float) -> Lane:
    """A row of dimensions at a scale that is known."""
    return Line.of(spans, say, size).at(scale)


def _texts(span: Span, say: Says) -> tuple[str, ...]:
    """What may be written on a line, what is said best first."""
    bare = say(span.mm)
    texts = tuple(f"{word} {bare}" for word in span.words)
    return texts if span.named else (*texts, bare)


@dataclass(slots=True)
class Dimensions:
    """Dimension lines of one drawing. Lines that lead to them are cut where words stand."""

    sheet: Sheet
    room: Room
    _lines: list[str] = field(default_factory=list)
    _words: list[tuple[float, float, float, float]] = field(default_factory=list)
    _leads: list[tuple[bool, float, float, float]] = field(default_factory=list)

    def over(self, lanes: Sequence[Lane], y: float, edge: float) -> None:
        """Lines over a drawing, the nearest at ``y`` first; ``edge`` is where the lines that lead to them begin."""
        for lane in lanes:
            self.level(lane, y, edge, -1)
            y -= lane.depth(self.room)

    def under(self, lanes: Sequence[Lane], y: float, edge: float) -> None:
        """Lines under a drawing, from ``y`` on, the nearest first."""
        for lane in lanes:
            self.level(lane, y + lane.size * _STEP, edge, 1)
            y += lane.depth(self.room)

    def beside(self, lanes: Sequence[Lane], x: float, edges: Sequence[float]) -> None:
        """Upright lines right of a drawing, from ``x`` on; each with where the lines that lead to it begin."""
        for lane, edge in zip(lanes, edges, strict=True):
            self.upright(lane, x + lane.size * _STEP, edge)
            x += lane.depth(self.room)

    def level(self, lane: Lane, y: float, edge: float, out: int) -> None:
        """One row along the board at ``y``; ``out`` is -1 over the drawing and 1 under it."""
        size = lane.size
        for span in lane.spans:
            x, long = self.sheet.x(float(span.begin)), float(span.mm) * lane.scale
            self._line(span, f"M{number(x)} {number(y)}h{number(long)}")
            for end in (x, x + long):
                self._tick(end, y, upright=True)
                self._leads.append((True, end, edge, y))
        for label in lane.labels:
            x = self.sheet.left + label.at
            base = y - size * 0.25
            if label.row:
                base = y + size * (out * _STEP * (label.row - 0.5) + OVER_LINE / 2)
                pin = self.sheet.left + label.pin
                self._leads.append((True, pin, y, base))
            self.sheet.write(x, base, label.text, size)
            self._words.append(
                (x, base - size * OVER_LINE, label.end(size) - label.at, size * (OVER_LINE + UNDER_LINE))
            )

    def upright(self, lane: Lane, x: float, edge: float) -> None:
        """One row across the board at ``x``; words are read from the right."""
        size = lane.size
        for span in lane.spans:
            y, high = self.sheet.y(float(span.begin)), float(span.mm) * lane.scale
            self._line(span, f"M{number(x)} {number(y)}v{number(high)}")
            for end in (y, y + high):
                self._tick(x, end, upright=False)
                self._leads.append((False, end, edge, x))
        for label in lane.labels:
            # Words run upwards: they begin at their lower end.
            low = self.sheet.top + label.end(size)
            base = x - size * 0.25
            if label.row:
                base = x + size * (_STEP * (label.row - 0.5) + OVER_LINE / 2)
                self._leads.append((False, self.sheet.top + label.pin, x, base))
            self.sheet.write(base, low, label.text, size, upright=True)
            self._words.append(
                (
                    base - size * OVER_LINE,
                    low - (label.end(size) - label.at),
                    size * (OVER_LINE + UNDER_LINE),
                    label.end(size) - label.at,
                )
            )

    def _line(self, span: Span, path: str) -> None:
        self._lines.append(
            f'<path data-kind="dimension" data-of="{escape(span.name)}" data-mm="{span.mm}" d="{path}"/>'
        )

    def _tick(self, x: float, y: float, *, upright: bool) -> None:
        """A stroke aslant where a dimension ends."""
        half = self.room.text * 0.22
        self.sheet.add("ticks", f"M{number(x - half)} {number(y + half)}l{number(2 * half)} {number(-2 * half)}")
        over = self.room.text * 0.3
        if upright:
            self.sheet.add("ticks", f"M{number(x)} {number(y - over)}v{number(2 * over)}")
        else:
            self.sheet.add("ticks", f"M{number(x - over)} {number(y)}h{number(2 * over)}")

    def painted(self) -> str:
        room = self.room
        for upright, at, begin, end in self._leads:
            for start, stop in self._clear(upright, at, *sorted((begin, end))):
                if upright:
                    self.sheet.upright("leads", at, start, stop - start)
                else:
                    self.sheet.level("leads", start, at, stop - start)
        fine = f'fill="none" stroke="currentColor" stroke-width="{number(room.fine)}"'
        return (
            self.sheet.path("leads", f'{fine} stroke-opacity="0.6"')
            + self.sheet.path("ticks", f'fill="none" stroke="currentColor" stroke-width="{number(room.fine * 1.8)}"')
            + f'<g fill="none" stroke="currentColor" stroke-width="{number(room.fine * 1.4)}">'
            + f"{''.join(self._lines)}</g>"
        )

    def _clear(self, upright: bool, at: float, begin: float, end: float) -> list[tuple[float, float]]:
        """The stretches of a line that lie on no words."""
        pad = self.room.text * 0.12
        taken = []
        for x, y, long, high in self._words:
            near, far, start, stop = (x, x + long, y, y + high) if upright else (y, y + high, x, x + long)
            if near - pad < at < far + pad:
                taken.append((start - pad, stop + pad))
        found = []
        for start, stop in sorted(taken):
            if start > begin:
                found.append((begin, min(start, end)))
            begin = max(begin, stop)
        return [*found, (begin, end)] if begin < end else found
