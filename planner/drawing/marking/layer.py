"""A rough length, or one layer of a resawn one, larger: its strips by name and width, their parts counted and sized."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from planner.cutting.plan import BoardCut, Rules, StockBoard
from planner.drawing.looks import WoodLook, number, opening
from planner.drawing.marking.ink import Sheet, painted
from planner.drawing.marking.laid import Box, Layer, RoughLaid, StripLaid, lay_out
from planner.drawing.marking.letters import wide
from planner.drawing.marking.room import PAPER, Room, scale_words, wider
from planner.drawing.marking.wood import draw_layer, saw_lines
from planner.drawing.marking.words import Writing, layer_title, layer_words, names_of, run_words, widths_of
from planner.measures import Length

_Group = tuple[StripLaid, ...]
_EDGE = "The straight edge is at the top."


@dataclass(frozen=True, slots=True)
class LayerDrawn:
    """The drawing of a layer that is ripped, and its name."""

    name: str
    svg: str


@dataclass(frozen=True, slots=True)
class _Fit:
    """Where things go on the drawings of one board: all of them have one scale."""

    along: float
    times: int
    scale: str
    left: float


def layer_marking_svgs(
    cut: BoardCut,
    board: StockBoard,
    rules: Rules,
    unit: Length,
    look: WoodLook,
    *,
    writes: str = "mm",
    room: Room = PAPER,
) -> list[LayerDrawn]:
    """Every rough length of a board that is ripped, in order, drawn as large as the longest of them allows; what is
    said of ``board_marking_svg`` holds here too. The straight edge, and the first strip, are at the top."""
    laid, say = lay_out(cut, board, rules), Writing(unit, writes)
    layers = [(rough, layer) for rough in laid.rough for layer in rough.layers if layer.strips]
    if not layers:
        return []
    fit = _fitted(layers, board.width, say, room)
    return [LayerDrawn(layer.name, _drawn(rough, layer, rules, look, say, fit, room)) for rough, layer in layers]


def _fitted(layers: Sequence[tuple[RoughLaid, Layer]], width: int, say: Writing, room: Room) -> _Fit:
    groups = [group for _, layer in layers for group in layer.groups]
    left = max(wide(names_of(group, short=True), room.text) for group in groups) + room.text * 0.7
    right = 0 if room.short else max(wide(widths_of(group, say.bare), room.text) for group in groups) + room.text * 0.7
    longest = say.mm(max(rough.box.long for rough, _ in layers))
    high = say.mm(width)
    along, words = next(
        (
            (along, words)
            for along, words in room.scales(longest)
            if left + longest * along + right <= room.width and high * along <= room.most
        ),
        ((room.width - left - right) / longest, ""),
    )
    thinnest = say.mm(min(sum(strip.box.wide for strip in group) for group in groups))
    times = wider(room.line * 1.12 / (thinnest * along), min(room.most / (high * along), 6))
    return _Fit(along, times, words, left)


def _drawn(rough: RoughLaid, layer: Layer, rules: Rules, look: WoodLook, say: Writing, fit: _Fit, room: Room) -> str:
    a_unit = fit.along * float(say.unit.mm)
    # The layer lies where its board does: what is drawn begins at the rough length's own front.
    sheet = Sheet(a_unit, a_unit * fit.times, fit.left - rough.box.x * a_unit, room.text * 0.4, room.fine)
    step = room.step
    box = rough.box
    sheet.box("board", box)
    draw_layer(sheet, layer, box, rules.crosscut_kerf, rules.rip_kerf, step)
    sheet.box("outline", box)
    for group in layer.groups:
        _runs(sheet, group, say, room)
    if layer.rest is not None:
        words = f"{'offcut ' if layer.rest_kept else ''}{say.bare(layer.rest.wide)} × {say.bare(layer.rest.long)}"
        _inside(sheet, layer.rest, words, room, plate="pale plates")
    _beside(sheet, layer, say, room)
    bottom = sheet.y(box.wide)
    foot = _under(sheet, rough, layer, say, fit, bottom, room)
    size = (
        f'data-along="{fit.along:.9g}" data-across="{fit.along * fit.times:.9g}" data-left="{number(fit.left)}" '
        f'data-top="{number(sheet.top)}"'
    )
    head = opening(room.width, foot, layer_title(layer, rough, look.name, say), size)
    body = painted(sheet, look, *saw_lines(sheet, layer.strips, rules), room.step)
    return f"{head}<desc>{escape(layer_words(layer, say))}</desc>{body}</svg>"


def _runs(sheet: Sheet, group: _Group, say: Writing, room: Room) -> None:
    """Counts and lengths on the parts, on a strip of its own where one is high enough, else across all alike; and the
    size of a tail that goes back."""
    first, last = group[0], group[-1]
    high = last.box.y + last.box.wide - first.box.y
    if first.box.wide * sheet.across >= room.line * 0.9:
        high = first.box.wide
    for run in first.runs:
        _inside(sheet, Box(run.x, first.box.y, run.long, high), run_words(run, say.bare), room, plate="plates")
    if first.kept:
        tail = Box(first.box.end - first.tail, first.box.y, first.tail, high)
        words = f"{say.bare(first.box.wide)} × {say.bare(first.tail)}"
        if not _inside(sheet, tail, f"offcut {words}", room, plate="pale plates"):
            _inside(sheet, tail, "offcut", room, plate="pale plates")


def _inside(sheet: Sheet, box: Box, words: str, room: Room, *, plate: str) -> bool:
    """Words in the middle of a box, on a plate of its own colour; nothing where they have no room."""
    long = wide(words, room.text)
    if long > box.long * sheet.along - room.text * 0.3 or room.line * 0.9 > box.wide * sheet.across:
        return False
    x, y = sheet.x(box.x + box.long / 2), sheet.y(box.y + box.wide / 2)
    pad = room.text * 0.14
    left, top, high = x - long / 2 - pad, y - room.text * 0.4, room.text * 0.8
    sheet.add(
        plate,
        f"M{number(left)} {number(top)}h{number(long + 2 * pad)}v{number(high)}h{number(-long - 2 * pad)}z",
    )
    sheet.write(x, y + room.text * 0.33, words, room.text, anchor="middle", bold=plate == "plates", on=True)
    return True


def _beside(sheet: Sheet, layer: Layer, say: Writing, room: Room) -> None:
    """Names, less the board's mark, at the front of strips and widths at their ends; where strips are finer than a
    line of words, only of those that have room: the list has them all."""
    free = -room.line
    for group in layer.groups:
        first, last = group[0], group[-1]
        middle = sheet.y((first.box.y + last.box.y + last.box.wide) / 2)
        if middle - room.line / 2 < free:
            continue
        free = middle + room.line / 2
        base = middle + room.text * 0.34
        x = sheet.x(first.box.x) - room.text * 0.35
        sheet.write(x, base, names_of(group, short=True), room.text, anchor="end", bold=True)
        if len(group) > 1:
            top, high = sheet.y(first.box.y), (last.box.y + last.box.wide - first.box.y) * sheet.across
            sheet.upright("lines", x + room.text * 0.18, top, high)
        if not room.short:
            end = sheet.x(first.box.end) + room.text * 0.35
            sheet.write(end, base, widths_of(group, say.bare), room.text)


def _under(sheet: Sheet, rough: RoughLaid, layer: Layer, say: Writing, fit: _Fit, bottom: float, room: Room) -> float:
    """The length under the drawing, what is held, and the scale; returns where the drawing ends."""
    box = rough.box
    y = bottom + room.text * 0.8
    tick = room.text * 0.3
    x, long = sheet.x(box.x), box.long * sheet.along
    sheet.level("lines", x, y, long)
    for end in (x, x + long):
        sheet.upright("lines", end, y - tick, 2 * tick)
    length = f"{say.bare(box.long)} long"
    base = y + room.text * 1.05
    grips = {strip.grip for strip in layer.strips if strip.grip and not strip.kept}
    grip = f"grip {say.bare(max(grips))}" if grips else ""
    if grip:
        begins = x + long - max(grips) * sheet.along
        sheet.upright("lines", begins, y - tick, 2 * tick)
    held = wide(grip, room.text) if grip else 0
    if grip and held + wide(length, room.text) + room.text <= long:
        sheet.write(x + long, base, grip, room.text, anchor="end")
        middle = x + min(long / 2, (long - held - room.text) / 2 + 0)
        sheet.write(middle, base, length, room.text, anchor="middle")
    else:
        sheet.write(x, base, length, room.text)
    base += room.line
    note = f"{scale_words(fit.scale, fit.times)}. {_EDGE}"
    base = sheet.note(fit.left, base, note, room.text * 0.85, room.width)
    return base + room.text * 0.4
