"""The pattern as it is laid on the bench: the blank with every part in its place, and the dimensions it is laid by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import partial
from html import escape
from math import ceil
from typing import Any

from planner.build.words import ENDS
from planner.drawing.looks import WoodLook, hex_of, number, opening
from planner.drawing.marking.ink import PAPER as PAPER_RGB
from planner.drawing.marking.ink import Sheet, stroke
from planner.drawing.marking.letters import OVER_LINE, wide, wrapped
from planner.drawing.marking.room import PAPER, Room, scale_words
from planner.drawing.working.areas import squares_of
from planner.drawing.working.dimensions import Dimensions, Lane, Line, Span, depth_of, says_in, unit_words
from planner.drawing.working.fitting import Around, fitted
from planner.drawing.working.places import Laid, laid_of
from planner.drawing.working.woods import Woods, inked, key, rectangle
from planner.pattern import Pattern

GRAIN = 'stroke-linecap="round" stroke-linejoin="round"'
# How large a mark on an area of one wood is, in hairlines.
_AREA_MARK = 10
_TOO_SMALL = "Tiles are too small here for marks of their own: a mark stands on an area of its wood."
_STEPS = (1, 2, 5, 10, 20, 50, 100)


def laid_svg(
    record: Mapping[str, Any],
    looks: Mapping[str, WoodLook],
    unit: str,
    *,
    mirrored: bool = False,
    title: str = "",
    room: Room = PAPER,
) -> str:
    """The blank of a kept reckoning as it lies on the bench: row 1 at the top, rows from left to right; ``mirrored``
    where it is glued face down, with left and right swapped and rows beginning at the right.

    ``unit`` is what the shop writes lengths in, "mm" or "in". Every dimension is a path of the kind "dimension" whose
    ``data-mm`` is the exact length; the root's ``data-along`` is drawing units a millimetre both ways, ``data-left``
    and ``data-top`` are where the blank's upper left corner lies.
    """
    laid = laid_of(record, mirrored=mirrored)
    drawn = {wood: inked(looks[wood]) for wood in sorted({piece.wood for piece in laid.pieces})}
    return _Drawing(laid, partial(_pattern_laid, record, laid), drawn, unit, room).svg(title)


def _pattern_laid(record: Mapping[str, Any], laid: Laid) -> Pattern:
    """The picture as it lies: turned where rows stand upright, in a mirror where it lies face down."""
    pattern = Pattern.from_text(record["pattern"])
    pattern = pattern.turned() if laid.upright else pattern
    return pattern.mirrored() if laid.mirrored else pattern


class _Drawing:
    def __init__(
        self, laid: Laid, pattern: Callable[[], Pattern], looks: Mapping[str, WoodLook], unit: str, room: Room
    ) -> None:
        self.laid, self.pattern, self.looks, self.unit, self.room = laid, pattern, looks, unit, room
        self.say = says_in(unit)
        self.head = wrapped(_face_words(laid), room.text, room.width)
        # What no scale changes, for many are tried.
        self.over, self.under, self.beside = (
            [Line.of(spans, self.say, room.text) for spans in lines]
            for lines in (self._over(), self._under(), self._beside())
        )
        self.told, self.too_small = self._wrapped(*self._told()), self._wrapped(_TOO_SMALL)
        self.key_high = key(Sheet(1, 1, 0, 0, room.fine), self._key_looks(), self._counts(), 0, room)[1]
        self.sheet = Sheet(1, 1, 0, 0, room.fine)
        self.sheet, self.scale_words = fitted(room, *laid.blank, self._around)
        self.scale = self.sheet.along

    # --- what is measured ---

    def _over(self) -> list[list[Span]]:
        laid = self.laid
        cut = Span("finished length", laid.trim[0], laid.trim[0] + laid.finished[0], ("finished",))
        whole = Span("blank length", Fraction(0), laid.blank[0], ("blank",))
        return [[cut], [whole]]

    def _under(self) -> list[list[Span]]:
        laid = self.laid
        datum = Span("datum", *laid.along(Fraction(0), laid.datum), ("to the datum seam", "datum"), named=True)
        # The first tile past the datum line, so that its words stand away from the other's.
        pitch = Span("pitch", *laid.along(laid.datum, laid.datum + laid.pitch), ("pitch",), named=True)
        lines = [[pitch, datum] if laid.mirrored else [datum, pitch]]
        if laid.side_border:
            lines.append(self._chain("side border", laid.side_border, 0))
        return lines

    def _chain(self, name: str, border: Fraction, way: int) -> list[Span]:
        begin, end = self.laid.trim[way], self.laid.trim[way] + self.laid.finished[way]
        return [
            Span(name, begin, begin + border, ("border",)),
            Span("picture", begin + border, end - border, ("picture",)),
            Span(name, end - border, end, ("border",)),
        ]

    def _beside(self) -> list[list[Span]]:
        laid = self.laid
        lines = [self._chain("end border", laid.end_border, 1)] if laid.end_border else []
        begin = laid.trim[1]
        lines.append([Span("finished height", begin, begin + laid.finished[1], ("finished",))])
        if laid.blank[1] != laid.finished[1]:
            lines.append([Span("blank height", Fraction(0), laid.blank[1], ("blank",))])
        return lines

    def _lanes(self, scale: float) -> tuple[list[Lane], list[Lane], list[Lane]]:
        """Over, under and beside the blank."""
        over, under, beside = ([one.at(scale) for one in lines] for lines in (self.over, self.under, self.beside))
        return over, under, beside

    # --- how it goes into its room ---

    def _around(self, scale: float) -> Around:
        """The room that dimensions, numbers and words take at a scale."""
        room, laid = self.room, self.laid
        over, under, beside = self._lanes(scale)
        along = (*over, *under)
        reach = max(depth_of(over, room), *(one.before for one in beside))
        low = max(depth_of(under, room) + room.text * 0.6, *(one.after(laid.blank[1]) for one in beside))
        return Around(
            left=max(self._numbers_wide(), *(one.before for one in along)),
            right=max(
                *(one.after(laid.blank[0]) for one in along),
                depth_of(beside, room) + room.text,
            ),
            top=(len(self.head) + 2.1) * room.line + room.text * 0.6 + reach,
            foot=low + room.text * 1.6 + len(self._notes(scale)) * room.line + self.key_high,
        )

    def _numbers_wide(self) -> float:
        text = self.room.text
        return max(wide("row 1", text), wide(str(len(self.laid.rows)), text)) + text * 0.7

    def _key_looks(self) -> dict[str, WoodLook]:
        plain = self.laid.plain
        return {wood: replace(look, mark="") if wood == plain else look for wood, look in self.looks.items()}

    # --- what is said ---

    def _counts(self) -> dict[str, str]:
        counts = Counter(piece.wood for piece in self.laid.pieces)
        return {
            wood: f", {counts[wood]} piece{'' if counts[wood] == 1 else 's'}"
            + (", without its mark" if wood == self.laid.plain else "")
            for wood in self.looks
        }

    def _notes(self, scale: float) -> list[str]:
        return self.told if self._woods(scale).has_marks else [*self.told, *self.too_small]

    def _wrapped(self, *told: str) -> list[str]:
        return [part for words in told for part in wrapped(words, self.room.text, self.room.width)]

    def _told(self) -> Iterator[str]:
        laid, say = self.laid, self.say
        if laid.upright:
            first, last = ENDS["columns"]
            begin, end = ("right", "left") if laid.mirrored else ("left", "right")
            yield (
                f"Rows stand upright as the board hangs: row 1 hangs at the left, what lies at the {begin} here "
                f"hangs at the {first}, what lies at the {end} at the {last}."
            )
        ends, edges = laid.trim
        told = []
        if ends:
            told.append(f"{say(ends)} comes off each end")
        if edges:
            told.append(f"{say(edges)} off each long edge" if ends else f"{say(edges)} comes off each long edge")
        if told:
            yield f"Dashed: the finished size; {' and '.join(told)} when the blank is cut to size."
        unit = unit_words(self.unit)
        yield f"Dash and dot: the datum line rows are laid from, counted from where they begin. In {unit}."

    # --- drawing ---

    def svg(self, title: str) -> str:
        laid, room, sheet = self.laid, self.room, self.sheet
        y = room.line * OVER_LINE + room.text * 0.2
        for line in self.head:
            sheet.write(0, y, line, room.text, bold=True)
            y += room.line
        self._grain(y)
        woods = self._pieces()
        dims = Dimensions(sheet, room)
        bottom = sheet.top + float(laid.blank[1]) * self.scale
        over, under, beside = self._lanes(self.scale)
        right = sheet.x(float(laid.blank[0]))
        dims.over(over, sheet.top - room.line, sheet.top)
        dims.under(under, bottom + room.text * 0.5, bottom)
        dims.beside(beside, right + room.text * 0.5, [right] * len(beside))
        self._numbers()
        low = max(depth_of(under, room), *(one.after(laid.blank[1]) for one in beside))
        y = bottom + low + room.text * 1.2 + room.text * OVER_LINE
        for line in self._notes(self.scale):
            sheet.write(0, y, line, room.text)
            y += room.line
        legend, foot = key(sheet, self._key_looks(), self._counts(), y - room.text * 0.4, room)
        note = f"{scale_words(self.scale_words, 1)}."
        sheet.write(
            room.width,
            room.line * OVER_LINE + room.line * len(self.head) + room.text * 0.2,
            note,
            room.text,
            anchor="end",
        )
        marks = (
            f'data-along="{self.scale:.9g}" data-across="{self.scale:.9g}" data-left="{number(sheet.left)}" '
            f'data-top="{number(sheet.top)}"'
        )
        said = title or f"The pattern as it is laid: {_face_words(laid)}"
        body = woods + self._lines() + dims.painted() + legend + sheet.texts()
        return f"{opening(room.width, foot, said, marks)}<desc>{escape(self._read_aloud())}</desc>{body}</svg>"

    def _woods(self, scale: float) -> Woods:
        mark = min(float(self.laid.pitch) * scale * 0.62, self.room.text * 1.2)
        datum = self.laid.along(self.laid.datum, self.laid.datum)[0]
        return Woods(self.sheet, self.looks, mark, self.laid.plain, self.sheet.x(float(datum)))

    def _pieces(self) -> str:
        sheet, scale = self.sheet, self.scale
        tile = float(self.laid.pitch) * scale
        woods = self._woods(scale)
        if not woods.has_marks:
            self._mark_areas(woods, tile)
        for piece in self.laid.pieces:
            woods.piece(piece.wood, sheet.x(piece.x), sheet.y(piece.y), piece.long * scale, piece.wide * scale)
        return woods.painted(min(self.room.fine * 1.2, tile * 0.07))

    def _mark_areas(self, woods: Woods, tile: float) -> None:
        """A mark on every square of tiles of one wood that is large enough for it."""
        laid, sheet = self.laid, self.sheet
        size = self.room.fine * _AREA_MARK
        side = ceil(size / tile)
        # The picture lies in the middle, whichever face is up.
        left, top = sheet.x(float(laid.trim[0] + laid.side_border)), sheet.y(float(laid.trim[1] + laid.end_border))
        for wood, row, column in squares_of(self.pattern(), side):
            if wood != laid.plain:
                woods.mark_at(wood, left + (column + side / 2) * tile, top + (row + side / 2) * tile, size)

    def _lines(self) -> str:
        """The blank's outline, the finished size and the datum line, each with a light edge so that it is seen on dark
        wood."""
        laid, sheet, scale, fine = self.laid, self.sheet, self.scale, self.room.fine
        whole = rectangle(sheet.left, sheet.top, float(laid.blank[0]) * scale, float(laid.blank[1]) * scale)
        cut = rectangle(
            sheet.x(float(laid.trim[0])),
            sheet.y(float(laid.trim[1])),
            float(laid.finished[0]) * scale,
            float(laid.finished[1]) * scale,
        )
        at = sheet.x(float(laid.along(laid.datum, laid.datum)[0]))
        over = self.room.text * 0.35
        line = f"M{number(at)} {number(sheet.top - over)}v{number(float(laid.blank[1]) * scale + 2 * over)}"
        dashed, dotted = _dashes(fine * 11, fine * 6), _dashes(fine * 22, fine * 7, fine * 3, fine * 7)
        light = hex_of(PAPER_RGB)
        return (
            f"{self.sheet.path('grain', stroke(fine * 2.2, GRAIN, 'currentColor'))}"
            f'<path data-kind="outline" d="{whole}" {stroke(fine * 2, colour="currentColor")}/>'
            f'<path data-under="finished" d="{cut}" {stroke(fine * 3.6, colour=light)}/>'
            f'<path data-kind="finished" d="{cut}" {stroke(fine * 1.7, dashed)}/>'
            f'<path data-under="datum" d="{line}" {stroke(fine * 4.2, colour=light)}/>'
            f'<path data-kind="datum line" d="{line}" {stroke(fine * 2, dotted)}/>'
        )

    def _numbers(self) -> None:
        """Rows at the left, and tiles over the blank, as many of them as have room; tiles are counted from where rows
        begin."""
        laid, sheet, room, scale = self.laid, self.sheet, self.room, self.scale
        free = -1.0
        rows = laid.rows
        for n, row in enumerate(rows):
            middle = sheet.y(float(row.y + row.wide / 2))
            last = sheet.y(float(rows[-1].y + rows[-1].wide / 2))
            if (
                n
                and (row.number % _step(rows, room.line / scale) or (0 < last - middle < room.line))
                and n < len(rows) - 1
            ):
                continue
            if middle - room.line * 0.5 < free:
                continue
            free = middle + room.line * 0.5
            text = f"row {row.number}" if n == 0 else str(row.number)
            sheet.write(
                sheet.left - room.text * 0.4, middle + room.text * 0.34, text, room.text, anchor="end", bold=n == 0
            )
        size = room.text
        step = next(
            s for s in _STEPS if float(laid.pitch) * scale * s > wide(str(laid.columns), size) + size * 0.5 or s == 100
        )
        for column in range(laid.columns):
            # Between 1 and the second number lies as much as between any two.
            if column == 0 or ((column + 1) % step == 0 and column >= min(step, 4)):
                begin, end = laid.column(column)
                middle = sheet.x(float(begin + end) / 2)
                if middle - wide(str(column + 1), size) / 2 < sheet.left:
                    # There the rows have their numbers.
                    continue
                sheet.write(middle, sheet.top - room.text * 0.3, str(column + 1), size, anchor="middle")

    def _grain(self, y: float) -> None:
        """An arrow along the grain; a ring with a point where it stands on end, as an arrow is seen from its tip."""
        room, sheet = self.room, self.sheet
        size = room.text
        middle = y - size * 0.34
        if self.laid.end_grain:
            radius = size * 0.42
            ring = f"M0 {number(middle)}a{number(radius)} {number(radius)} 0 1 0 {number(2 * radius)} 0"
            ring += f"a{number(radius)} {number(radius)} 0 1 0 {number(-2 * radius)} 0"
            point = number(radius * 0.3)
            sheet.add("grain", f"{ring}M{number(radius * 0.85)} {number(middle)}h{point}")
            sheet.write(2 * radius + size * 0.4, y, "end grain up: the grain stands on end", size)
            return
        head, long = size * 0.4, size * 4.5
        for tip, back in ((0.0, head), (long, -head)):
            up, down = number(middle - head * 0.6), f"l{number(back)} {number(head * 0.6)}"
            sheet.add("grain", f"M{number(tip + back)} {up}L{number(tip)} {number(middle)}{down}")
        sheet.level("grain", 0, middle, long)
        sheet.write(long + size * 0.5, y, "grain", size)

    def _read_aloud(self) -> str:
        laid, say, unit = self.laid, self.say, self.unit
        told = [_face_words(laid), *self._told()]
        spans = [span for line in (*self.over, *self.under, *self.beside) for span in line.spans]
        seen: list[str] = []
        for span in spans:
            words = f"{span.name} {say(span.mm)} {unit}"
            if words not in seen:
                seen.append(words)
        return f"{' '.join(told)} {'; '.join(seen)}.".replace("\u00a0\u00a0", " ")


def _dashes(*lengths: float) -> str:
    return f'stroke-dasharray="{" ".join(number(length) for length in lengths)}"'


def _step(rows: tuple[Any, ...], line_mm: float) -> int:
    """Every how many rows are numbered so that their numbers have room."""
    least = min(float(row.wide) for row in rows)
    return next((step for step in _STEPS if step * least >= line_mm), _STEPS[-1])


def _face_words(laid: Laid) -> str:
    rows = "Row 1 is at the top, rows begin at the"
    if laid.mirrored:
        return f"Face down, seen from the back: left and right are swapped. {rows} right."
    return f"Face up. {rows} left."
