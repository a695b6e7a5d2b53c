"""The seams across the grain: where rows are jointed in one line, and how much long grain holds each of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from html import escape
from typing import Any

from planner.build import along_of, seam_place
from planner.drawing.looks import DARK_INK, WoodLook, hex_of, number, opening
from planner.drawing.marking.ink import rest_fill, stroke
from planner.drawing.marking.letters import OVER_LINE, wide, wrapped
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.working.dimensions import Dimensions, Lane, Line, Span, depth_of, says_in, unit_words
from planner.drawing.working.fitting import Around, fitted
from planner.drawing.working.places import Laid, laid_of
from planner.drawing.working.seamlist import CLASSES, Seam, seams_of_record, told_in_short, weakest_of
from planner.drawing.working.woods import rectangle

# How a seam's bare stretches are drawn by its class: how many hairlines wide, and what it is dashed in hairlines.
# Under a quarter they have barbs as well.
_LINES: tuple[tuple[float, tuple[int, ...]], ...] = ((7.0, ()), (4.5, ()), (3.0, (9, 4)), (2.0, (2, 4)))
# The tone of a seam's bar, on paper as on a screen.
_TONES = ("#241c15", "#6b6259", "#a89f95", "#ddd6cd")
# The share of a sheet's height that the list of seams may take; what has no room is read aloud.
_LIST = 0.25


def seams_svg(
    record: Mapping[str, Any],
    looks: Mapping[str, WoodLook],
    unit: str,
    *,
    title: str = "",
    room: Room = PAPER,
) -> str:
    """The finished board as its rows are laid, each seam across the grain drawn where nothing crosses it, the heavier
    the less of it long grain carries; under it a bar a seam, as high as what crosses it.

    Stretches without long grain are lines of the kinds "seam 0" (weakest) to "seam 3"; the root's ``data-along`` is
    drawing units a millimetre of the board, ``data-left`` and ``data-top`` its corner. A bar is a path of the kind
    "carried" with ``data-column``, its exact ``data-mm`` and ``data-scale``.
    """
    laid = laid_of(record)
    return _Drawing(record, laid, looks, unit, room).svg(title)


class _Drawing:
    def __init__(
        self, record: Mapping[str, Any], laid: Laid, looks: Mapping[str, WoodLook], unit: str, room: Room
    ) -> None:
        self.laid, self.looks, self.unit, self.room = laid, looks, unit, room
        self.say = says_in(unit)
        self.along = along_of(record)
        self.seams = seams_of_record(record, laid)
        weakest = record["weakest"]
        self.weakest = None if weakest is None else next(s for s in self.seams if s.column == weakest["column"])
        self.head = wrapped(self._weakest_words(), room.text, room.width * 0.98)
        self.listed = self._listed()
        self.notes = [line for words in self._told() for line in wrapped(words, room.text, room.width)]
        self.list = self._in_lines(told_in_short(self.listed, self.say))
        self.chart = room.text * 6
        self.lines = self._lines()
        self.sheet, self.scale_words = fitted(room, *laid.finished, self._around)
        self.scale = self.sheet.along

    # --- what is said ---

    def _place(self, seam: Seam) -> str:
        return seam_place(seam.column, self.laid.columns, self.along)

    def _weakest_words(self) -> str:
        if self.weakest is None:
            if self.laid.end_grain:
                return "No seam is weak: in end grain every joint is side grain to side grain."
            return "No seam runs across the grain: no row has a joint."
        seam, say = self.weakest, self.say
        return (
            f"Weakest seam, {self._place(seam)}: long grain crosses {say(seam.carried)} of {say(seam.of)}, the longest "
            f"stretch with none is {say(seam.gap)}."
        )

    def _told(self) -> Iterator[str]:
        if self.laid.upright:
            yield "Drawn as rows are laid: what is at the left here hangs at the bottom, the top at the left."
        if self.seams:
            whole = len(self.listed) == len(self.seams)
            which = (
                "Every seam by the tiles at its left"
                if whole
                else f"The {len(self.listed)} weakest seams by the tiles at their left"
            )
            yield f"{which}, and how much long grain crosses, in {unit_words(self.unit)}:"
        else:
            yield f"In {unit_words(self.unit)}."

    def _in_lines(self, entries: Sequence[str]) -> list[tuple[float, int, str]]:
        """Words of the list with where they begin and in which line."""
        if not entries:
            return []
        many, step = self._columns(entries)
        return [(n % many * step, n // many, entry) for n, entry in enumerate(entries)]

    def _columns(self, entries: Sequence[str]) -> tuple[int, float]:
        text = self.room.text
        step = max(wide(entry, text) for entry in entries) + text * 1.1
        return max(1, int((self.room.width + text * 1.1) / step)), step

    def _listed(self) -> list[Seam]:
        """All seams, or as many of the weakest as the list has room for."""
        entries = told_in_short(self.seams, self.say)
        lines = int(self.room.high * _LIST / self.room.line)
        if not entries or len(entries) <= self._columns(entries)[0] * lines:
            return self.seams
        return weakest_of(self.seams, self._columns(entries)[0] * lines)

    # --- how it goes into its room ---

    def _lines(self) -> tuple[list[Line], list[Line]]:
        """Over and beside the board."""
        laid, say, size = self.laid, self.say, self.room.text
        over = [Line.of([Span("finished length", Fraction(0), laid.finished[0], ("finished",))], say, size)]
        beside = []
        if self.weakest is not None:
            beside.append(Line.of([Span("longest stretch", *self.weakest.longest, ("bare",))], say, size))
        beside.append(Line.of([Span("finished height", Fraction(0), laid.finished[1], ("finished",))], say, size))
        return over, beside

    def _lanes(self, scale: float) -> tuple[list[Lane], list[Lane]]:
        over, beside = ([one.at(scale) for one in lines] for lines in self.lines)
        return over, beside

    def _key_high(self) -> float:
        return self.room.line * 1.1 * len({seam.kind for seam in self.seams})

    def _around(self, scale: float) -> Around:
        room, (over, beside) = self.room, self._lanes(scale)
        lines = max((line for _, line, _ in self.list), default=-1) + 1
        reach = max(depth_of(over, room) + room.line * 1.5, *(one.before for one in beside))
        foot = max(self._chart_high(), *(one.after(self.laid.finished[1]) for one in beside))
        return Around(
            left=max(room.text * 0.5, *(one.before for one in over)),
            right=max(depth_of(beside, room) + room.text, self._ends_wide()),
            top=(len(self.head) + 0.4) * room.line + reach,
            foot=foot + (len(self.notes) + lines + 1.5) * room.line + self._key_high(),
        )

    def _ends_wide(self) -> float:
        """What the scale of the bars takes beside them."""
        return wide(self.say(self.laid.finished[1]), self.room.text) + self.room.text * 0.4 if self.seams else 0.0

    def _chart_high(self) -> float:
        return self.chart + self.room.line * 1.6 if self.seams else self.room.text

    # --- drawing ---

    def svg(self, title: str) -> str:
        room, sheet, laid = self.room, self.sheet, self.laid
        y = room.line * OVER_LINE + room.text * 0.2
        for line in self.head:
            sheet.write(0, y, line, room.text, bold=True)
            y += room.line
        woods = self._woods()
        seams = self._seams()
        dims = Dimensions(sheet, room)
        over, beside = self._lanes(self.scale)
        bottom = sheet.top + float(laid.finished[1]) * self.scale
        right = sheet.x(float(laid.finished[0]))
        dims.over(over, sheet.top - room.line * 1.5, sheet.top)
        dims.beside(beside, right + room.text * 0.5, [right] * len(beside))
        flag = self._flag()
        bars, low = self._chart(bottom)
        low = max(low, bottom + max(one.after(laid.finished[1]) for one in beside))
        key, low = self._key(low + room.text * 0.4)
        base = low + room.text
        for line in self.notes:
            sheet.write(0, base, line, room.text)
            base += room.line
        for left, row, words in self.list:
            sheet.write(left, base + row * room.line, words, room.text)
        foot = base + (max((row for _, row, _ in self.list), default=-1) + 0.5) * room.line
        marks = (
            f'data-along="{self.scale:.9g}" data-across="{self.scale:.9g}" data-left="{number(sheet.left)}" '
            f'data-top="{number(sheet.top)}"'
        )
        head = opening(room.width, foot, title or "Seams across the grain, and the long grain that holds them", marks)
        told = " ".join([self._weakest_words(), *self._told(), "; ".join(told_in_short(self.seams, self.say))]).replace(
            "\u00a0\u00a0", " "
        )
        return f"{head}<desc>{escape(told)}</desc>{woods}{seams}{dims.painted()}{flag}{bars}{key}{sheet.texts()}</svg>"

    def _woods(self) -> str:
        """The board in pale woods with fine joints, so that seams are what is seen."""
        laid, sheet, scale = self.laid, self.sheet, self.scale
        (ends, edges), whole = map(float, laid.trim), (float(laid.finished[0]), float(laid.finished[1]))
        for piece in laid.pieces:
            left, top = piece.x - ends, piece.y - edges
            x, y = max(left, 0.0), max(top, 0.0)
            long, high = min(left + piece.long, whole[0]) - x, min(top + piece.wide, whole[1]) - y
            box = sheet.x(x), sheet.y(y), long * scale, high * scale
            sheet.add(f"wood {piece.wood}", rectangle(*box))
            sheet.add("joints", f"M{number(box[0])} {number(box[1] + box[3])}v{number(-box[3])}h{number(box[2])}")
        woods = "".join(
            sheet.path(f"wood {wood}", f'data-wood="{escape(wood)}" fill="{hex_of(rest_fill(look))}"')
            for wood, look in self.looks.items()
        )
        edge = rectangle(sheet.left, sheet.top, whole[0] * scale, whole[1] * scale)
        outline = f'<path data-kind="outline" d="{edge}" {stroke(self.room.fine * 2)}/>'
        return woods + sheet.path("joints", stroke(self.room.fine, 'stroke-opacity="0.45"')) + outline

    def _seams(self) -> str:
        sheet, scale = self.sheet, self.scale
        barb = min(float(self.laid.pitch) * scale * 0.5, self.room.text * 0.5)
        for seam in self.seams:
            x = sheet.x(float(seam.x))
            for begin, end in seam.bare:
                y, high = sheet.y(float(begin)), float(end - begin) * scale
                sheet.upright(f"seam {seam.kind}", x, y, high)
                if seam.kind == 0 or seam is self.weakest:
                    many = max(1, int(high / (barb * 1.6)))
                    for n in range(many):
                        sheet.level("barbs", x - barb / 2, y + high * (n + 0.5) / many, barb)
        found = ""
        if self.weakest is not None:
            # From the flag through the board down to its bar, and from its longest bare stretch to the board's edge.
            x, foot = sheet.x(float(self.weakest.x)), sheet.y(float(self.laid.finished[1]))
            sheet.upright("weakest", x, sheet.top, foot - sheet.top)
            sheet.upright("to its bar", x, foot, self.room.line * 1.1)
            for end in self.weakest.longest:
                sheet.level("stretch", x, sheet.y(float(end)), sheet.x(float(self.laid.finished[0])) - x)
            fine = self.room.fine
            dashes = f'stroke-dasharray="{number(fine * 4)}"'
            found = sheet.path("weakest", stroke(fine * 1.4, dashes)) + sheet.path("stretch", stroke(fine))
            found += sheet.path("to its bar", stroke(fine * 1.4, dashes, "currentColor"))
        found += "".join(sheet.path(f"seam {n}", self._line(n)) for n in range(len(CLASSES)))
        return found + sheet.path("barbs", stroke(self.room.fine * 2))

    def _line(self, kind: int) -> str:
        """How the bare stretches of a class are drawn; no wider than leaves a column between two seams."""
        widths, dashes = _LINES[kind]
        fine = min(self.room.fine, float(self.laid.pitch) * self.scale * 0.06)
        more = f'stroke-dasharray="{" ".join(number(fine * dash) for dash in dashes)}"' if dashes else ""
        return stroke(fine * widths, more)

    def _flag(self) -> str:
        """A point over the weakest seam, and the word for it."""
        if self.weakest is None:
            return ""
        sheet, room = self.sheet, self.room
        x, half = sheet.x(float(self.weakest.x)), room.text * 0.35
        tip = sheet.top - room.text * 0.1
        words = "weakest"
        broad, right = wide(words, room.text), sheet.x(float(self.laid.finished[0]))
        left = x + half * 1.6 if x + half * 1.6 + broad <= right else x - half * 1.6 - broad
        sheet.write(left, tip - room.text * 0.1, words, room.text, bold=True)
        path = f"M{number(x)} {number(tip)}l{number(-half)} {number(-2 * half)}h{number(2 * half)}z"
        return f'<path data-kind="flag" d="{path}" fill="currentColor"/>'

    def _chart(self, bottom: float) -> tuple[str, float]:
        """A bar a seam, as high as the long grain that crosses it; the line over them is the whole board."""
        if not self.seams:
            return "", bottom + self.room.text
        sheet, room, laid = self.sheet, self.room, self.laid
        scale = self.chart / float(laid.finished[1])
        foot = bottom + room.line * 1.1 + self.chart
        broad = min(float(laid.pitch) * self.scale * 0.6, room.text * 0.8)
        bars = ""
        for seam in self.seams:
            high = float(seam.carried) * scale
            bar = rectangle(sheet.x(float(seam.x)) - broad / 2, foot - high, broad, high)
            bars += (
                f'<path data-kind="carried" data-column="{seam.column}" data-mm="{seam.carried}" '
                f'data-scale="{scale:.9g}" d="{bar}" fill="{_TONES[seam.kind]}"/>'
            )
        long = float(laid.finished[0]) * self.scale
        for share in (0, 1):
            sheet.level("chart", sheet.left, foot - self.chart * share, long)
        sheet.level("quarters", sheet.left, foot - self.chart / 4, long)
        right = sheet.left + long + room.text * 0.3
        for height, words in ((0.0, "0"), (0.25, "1/4"), (1.0, self.say(laid.finished[1]))):
            sheet.write(right, foot - self.chart * height + room.text * 0.3, words, room.text)
        page = "currentColor"
        return (
            f'<g stroke="currentColor" stroke-width="{number(min(room.fine, broad * 0.12))}">{bars}</g>'
            + sheet.path("chart", stroke(room.fine * 1.4, colour=page))
            + sheet.path("quarters", stroke(room.fine, f'stroke-dasharray="{number(room.fine * 5)}"', page)),
            foot + room.text * 0.5,
        )

    def _key(self, top: float) -> tuple[str, float]:
        """What the lines mean, and how many seams are drawn so."""
        room, sheet, body = self.room, self.sheet, ""
        y, long = top + room.line * 0.6, room.text * 3
        for kind, (_, words) in enumerate(CLASSES):
            many = sum(seam.kind == kind for seam in self.seams)
            if not many:
                continue
            body += f'<path data-kind="key {kind}" d="M0 {number(y)}h{number(long)}" {self._line(kind)}/>'
            if kind == 0:
                barb = room.text * 0.5
                ticks = "".join(f"M{number(long * n / 6)} {number(y - barb / 2)}v{number(barb)}" for n in range(1, 6))
                body += f'<path d="{ticks}" {stroke(room.fine * 2)}/>'
            told = f"{words} crossed: {many} seam{'' if many == 1 else 's'}"
            sheet.write(long + room.text * 0.5, y + room.text * 0.34, told, room.text)
            y += room.line * 1.1
        return body.replace(DARK_INK, "currentColor"), y - room.line * 0.4
