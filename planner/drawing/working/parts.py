"""Every kind of part in proportion, with its size at each stage, how many there are, and its wood by name and mark."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from html import escape
from typing import Any

from planner.build import STAGES
from planner.drawing.looks import WoodLook, number, opening
from planner.drawing.marking.ink import Sheet, stroke
from planner.drawing.marking.letters import wide, wrapped
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.marks import mark_path
from planner.drawing.working.dimensions import Says, says_in, unit_words
from planner.drawing.working.fitting import scale_within
from planner.drawing.working.kinds import AXES, LONG, THICK, WIDE, Column, Group, Kind, groups_of
from planner.drawing.working.woods import inked, rectangle, swatch

# Draws on a page from a height on, and returns where it ends.
_Draw = Callable[["_Page", float], float]


def parts_svgs(
    record: Mapping[str, Any],
    looks: Mapping[str, WoodLook],
    unit: str,
    *,
    title: str = "",
    room: Room = PAPER,
) -> tuple[str, ...]:
    """All parts of a kept reckoning, in as many drawings as take no more than ``room.high`` each.

    Kinds that are brought to one size stand together, whatever their wood: over them the section of their strips at
    each stage, under it a piece of every kind as it leaves the saw, drawn to the scale that is told, with what is
    trimmed at last dashed. Each piece is a path of the kind "part" and each section one of the kind "section";
    ``data-mm`` is its exact size and ``data-scale`` drawing units a millimetre. Counts are for all copies.
    """
    groups, say = groups_of(record), says_in(unit)
    drawn = {part["wood"]: inked(looks[part["wood"]]) for part in record["parts"]}
    copies = record["spec"]["quantity"]
    counted = "for one board" if copies == 1 else f"for all {copies} boards"
    dashed = "" if record.get("panels") else " Dashed: where a piece is trimmed at last."
    note = f"Counts are {counted}, spares left out. In {unit_words(unit)}.{dashed}"
    pages = _laid_out([_Drawn(group, drawn, say, room) for group in groups], note, room)
    said = title or "The parts, each with its size at each stage"
    return tuple(
        page.svg(said if len(pages) == 1 else f"{said}, {n} of {len(pages)}") for n, page in enumerate(pages, 1)
    )


@dataclass(slots=True)
class _Page:
    """One drawing while it is filled."""

    room: Room
    sheet: Sheet
    low: float = 0.0
    lines: list[str] = field(default_factory=list)
    swatches: list[str] = field(default_factory=list)
    told: list[str] = field(default_factory=list)
    looks: dict[str, WoodLook] = field(default_factory=dict)

    def svg(self, title: str) -> str:
        sheet, fine = self.sheet, self.room.fine
        woods, marks = "", ""
        for wood, look in self.looks.items():
            named = f'data-wood="{escape(wood)}"'
            woods += sheet.path(f"wood {wood}", f'{named} fill="{look.fill}"')
            strokes = f'{named} stroke-linecap="round" stroke-linejoin="round"'
            marks += sheet.path(f"mark {wood}", stroke(self.room.text * 0.1, strokes, look.ink))
            dashes = f'{named} stroke-dasharray="{number(fine * 9)} {number(fine * 6)}"'
            marks += sheet.path(f"trim {wood}", stroke(fine * 1.6, dashes, look.ink))
        lines = f"<g {stroke(fine * 1.6, colour='currentColor')}>{''.join(self.lines)}</g>"
        rules = sheet.path("rules", stroke(fine * 1.2, 'stroke-opacity="0.6"', "currentColor"))
        told = f"<desc>{escape(' '.join(self.told))}</desc>".replace("\u00a0\u00a0", " ")
        head = opening(self.room.width, self.low, title)
        return f"{head}{told}{woods}{marks}{lines}{rules}{''.join(self.swatches)}{sheet.texts()}</svg>"


class _Drawn:
    """A group with the places of its columns and its scales."""

    def __init__(self, group: Group, looks: Mapping[str, WoodLook], say: Says, room: Room) -> None:
        self.group, self.looks, self.say, self.room = group, looks, say, room
        text, kinds = room.text, group.kinds
        self.columns = [
            (column, max(wide(words, text) for words in (column.head, *(say(column.of(kind)) for kind in kinds))))
            for column in group.columns
        ]
        self.numbers = sum(broad + text * 0.7 for _, broad in self.columns)
        self.counts = max(wide(f"{kind.count} ×", text) for kind in kinds) + text * 0.4
        if room.short:
            self.names, bars = room.width - self.counts, room.width - 2 * room.fine
        else:
            self.names = min(max(wide(kind.name, text) for kind in kinds) + text * 0.8, room.width * 0.34)
            bars = room.width - self.counts - self.names - self.numbers
        longest, widest = (max(kind.cut(axis) for kind in kinds) for axis in (LONG, WIDE))
        self.scale, self.scale_words = scale_within(room, (longest, bars), (widest, text * 3.2))

    def blocks(self) -> Iterator[tuple[_Draw, _Draw | None]]:
        """What is drawn in one go each, and what is drawn again before it where it begins a drawing."""
        for n, (wood, kinds) in enumerate(self.group.woods):
            again = self._head_of(wood, "continued")
            first = self._head_of(wood, f"{_some(len(kinds), 'kind')}, {_some(sum(k.count for k in kinds), 'piece')}")
            for m, kind in enumerate(kinds):
                # A head is never parted from what follows it.
                heads = ([self._draw_stages] if n == m == 0 else []) + ([first] if m == 0 else [])
                yield _one_after_another(*heads, self._row_of(wood, kind)), None if m == 0 else again

    # --- what all of a group have in common ---

    def _draw_stages(self, page: _Page, y: float) -> float:
        """The stages side by side: the strips' section, and the sizes all kinds share."""
        group, room, sheet, say = self.group, self.room, page.sheet, self.say
        text = room.text
        sizes = group.kinds[0].sizes
        thick = say(sizes[0][THICK])
        section = f"{thick} thick" if group.is_strips else f"{say(sizes[0][WIDE])} × {thick}"
        words = f"Strips ripped {section}, {_some(sum(kind.count for kind in group.kinds), 'piece')}"
        sheet.write(0, y + text, words, text * 1.1, bold=True)
        page.told.append(f"{words}.")
        y += room.line * 1.35
        left = wide("thick", text) + text
        step = (room.width - left) / len(STAGES)
        middles = [left + step * (n + 0.5) for n in range(len(STAGES))]
        if not group.is_strips:
            y = self._draw_sections(page, y, middles, step)
        base = y + text * 0.85
        for middle, stage in zip(middles, STAGES, strict=True):
            sheet.write(middle, base, stage, text, anchor="middle")
        for axis in (LONG, WIDE, THICK):
            shared = group.shared(axis)
            if any(size is not None for size in shared) and (group.is_strips or axis != LONG):
                base += room.line
                sheet.write(0, base, AXES[axis], text)
                for middle, stage, size in zip(middles, STAGES, shared, strict=True):
                    if size is not None:
                        sheet.write(middle, base, say(size), text, anchor="middle")
                        page.told.append(f"{stage} {say(size)} {AXES[axis]}.")
        return base + text * 0.8

    def _draw_sections(self, page: _Page, y: float, middles: list[float], step: float) -> float:
        sizes, text = self.group.kinds[0].sizes, self.room.text
        broadest, thickest = (max(size[axis] for size in sizes) for axis in (WIDE, THICK))
        scale, words = scale_within(self.room, (broadest, step * 0.8), (thickest, text * 4))
        low = y + float(thickest) * scale
        for middle, stage, size in zip(middles, STAGES, sizes, strict=True):
            broad, thick = float(size[WIDE]) * scale, float(size[THICK]) * scale
            page.lines.append(
                f'<path data-kind="section" data-stage="{stage}" data-mm="{size[WIDE]} {size[THICK]}" '
                f'data-scale="{scale:.9g}" d="{rectangle(middle - broad / 2, low - thick, broad, thick)}"/>'
            )
        if words:
            page.sheet.write(0, y + text, words, text)
        return low + text * 0.5

    # --- a wood, and its kinds ---

    def _head_of(self, wood: str, words: str) -> _Draw:
        def draw(page: _Page, y: float) -> float:
            room, sheet, look, text = self.room, page.sheet, self.looks[wood], self.room.text
            page.looks[wood] = look
            y += text * 0.5
            side = text * 1.5
            page.swatches.append(swatch(look, 0, y, side, room, f'data-key="{escape(wood)}"'))
            named = f"{look.name}, {words}"
            sheet.write(side + text * 0.5, y + side * 0.5 + text * 0.34, named, text, bold=True)
            page.told.append(f"{named}.")
            base = y + side + text * 1.1
            axis = "How long, and how wide at each stage" if self.group.is_strips else "How long each is"
            head = f"{axis}, drawn {self.scale_words}" if self.scale_words else axis
            sheet.write(0, base, head, text)
            if wide(head, text) + self.numbers > room.width:
                base += room.line
            self._in_columns(page, base, lambda column: column.head)
            sheet.level("rules", 0, base + text * 0.4, room.width)
            return base + text * 0.75

        return draw

    def _in_columns(self, page: _Page, base: float, words: Callable[[Column], str]) -> None:
        right = self.room.width
        for column, broad in reversed(self.columns):
            page.sheet.write(right, base, words(column), self.room.text, anchor="end")
            right -= broad + self.room.text * 0.7

    def _row_of(self, wood: str, kind: Kind) -> _Draw:
        def draw(page: _Page, y: float) -> float:
            room, sheet, text, say = self.room, page.sheet, self.room.text, self.say
            page.looks[wood] = self.looks[wood]
            long, high = float(kind.cut(LONG)) * self.scale, float(kind.cut(WIDE)) * self.scale
            base = y + text * 0.95
            sheet.write(self.counts - text * 0.4, base, f"{kind.count} ×", text, anchor="end", bold=True)
            beside = not room.short or self.counts + wide(kind.name, text) + self.numbers <= room.width
            lines = wrapped(kind.name, text, self.names - (self.numbers if room.short and beside else 0))
            for n, line in enumerate(lines):
                sheet.write(self.counts, base + n * room.line, line, text)
            low = base + (len(lines) - 1) * room.line
            if not beside:
                low = base = low + room.line
            self._in_columns(page, base, lambda column: say(column.of(kind)))
            if room.short:
                x, top = room.fine, low + text * 0.4
                end = top + high + text * 0.7
            else:
                x, top = self.counts + self.names, y + max(0.0, text * 1.2 - high) / 2
                end = max(low + text * 0.5, top + high + text * 0.35)
            self._piece(page, wood, kind, (x, top, long, high))
            sizes = ", ".join(f"{column.head} {say(column.of(kind))}" for column in self.group.columns)
            page.told.append(f"{kind.count} × {kind.name}: {sizes}.")
            return end

        return draw

    def _piece(self, page: _Page, wood: str, kind: Kind, box: tuple[float, float, float, float]) -> None:
        x, y, long, high = box
        sheet, text, look = page.sheet, self.room.text, self.looks[wood]
        outline = rectangle(*box)
        sheet.add(f"wood {wood}", outline)
        size = min(text * 0.9, long * 0.7, high * 0.7)
        if size >= text * 0.3 and look.mark:
            sheet.add(f"mark {wood}", mark_path(look.mark, x + (long - size) / 2, y + (high - size) / 2, size))
        page.lines.append(
            f'<path data-kind="part" data-part="{kind.part}" data-count="{kind.count}" '
            f'data-mm="{kind.cut(LONG)} {kind.cut(WIDE)}" data-scale="{self.scale:.9g}" d="{outline}"/>'
        )
        left, right, upper, lower = (float(trim) * self.scale for trim in kind.trims)
        for at in ([x + left] if left else []) + ([x + long - right] if right else []):
            sheet.upright(f"trim {wood}", at, y, high)
        for at in ([y + upper] if upper else []) + ([y + high - lower] if lower else []):
            sheet.level(f"trim {wood}", x, at, long)


def _one_after_another(*draws: _Draw) -> _Draw:
    def draw(page: _Page, y: float) -> float:
        for one in draws:
            y = one(page, y)
        return y

    return draw


def _laid_out(groups: list[_Drawn], note: str, room: Room) -> list[_Page]:
    """Groups one under the other; a wood that goes on in the next drawing has its head again there."""
    pages: list[_Page] = []

    def begin() -> _Page:
        page = _empty(room)
        for line in wrapped(note, room.text, room.width):
            page.sheet.write(0, page.low + room.text * 0.95, line, room.text)
            page.low += room.line
        page.low += room.text * 0.6
        pages.append(page)
        return page

    page = begin()
    for group in groups:
        # Groups stand apart, unless one begins its drawing.
        gap = room.text * 0.8 if page.told else 0.0
        for draw, again in group.blocks():
            high = gap + draw(_empty(room), 0)
            if page.told and page.low + high > room.high:
                page = begin()
                page.low = again(page, page.low) if again else page.low
                gap = 0.0
            page.low = draw(page, page.low + gap)
            gap = 0.0
    return pages


def _empty(room: Room) -> _Page:
    return _Page(room, Sheet(1, 1, 0, 0, room.fine))


def _some(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
