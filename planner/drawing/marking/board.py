"""A board to scale as it lies on the bench, the tape hooked on its left end."""

from __future__ import annotations

from html import escape

from planner.cutting.plan import BoardCut, Rules, StockBoard
from planner.drawing.looks import WoodLook, number, opening
from planner.drawing.marking.flags import Flag, flags, margin_for
from planner.drawing.marking.ink import Sheet, painted
from planner.drawing.marking.laid import BoardLaid, Box, RoughLaid, lay_out
from planner.drawing.marking.letters import OVER_LINE, UNDER_LINE, wide
from planner.drawing.marking.room import PAPER, Room, scale_words, wider
from planner.drawing.marking.wood import draw_layer, saw_lines
from planner.drawing.marking.words import Writing, board_title, board_words
from planner.drawing.marks import mark_path
from planner.measures import Length

_Places = list[tuple[float, str]]


def board_marking_svg(
    cut: BoardCut,
    board: StockBoard,
    rules: Rules,
    unit: Length,
    look: WoodLook,
    *,
    writes: str = "mm",
    room: Room = PAPER,
) -> str:
    """The board with everything that is cut of it: trims and waste hatched, what is bad crossed out, parts in their
    wood, kerfs dark, what is held dotted, offcuts that go back in broken lines; over it the rough lengths by name,
    under it the marks of the tape.

    ``unit`` is the plan's; ``writes`` what the shop writes lengths in, "mm" or "in". The root's ``data-along`` and
    ``data-across`` are drawing units a millimetre along and across the board, ``data-left`` and ``data-top`` where it
    begins. The plan is taken to be sound.
    """
    laid, say = lay_out(cut, board, rules), Writing(unit, writes)
    names = [(rough.box.end, _name(rough, say, room)) for rough in laid.rough]
    marks = [(0, "0"), *((at, say.bare(at)) for at in laid.marks)]
    along, words, left = _fitted(laid, names, marks, say, room)
    times = wider(room.least / (say.mm(board.width) * along), room.most / (say.mm(board.width) * along))
    a_unit = along * float(unit.mm)
    sheet = Sheet(a_unit, a_unit * times, left, 0, room.fine)
    over, centred = _over(laid, names, sheet, room)
    rows = 1 + max(flag.row for flag in over) if over else 0
    sheet.top = rows * room.line + room.text * 0.7
    high = sheet.across * board.width
    _paint(sheet, laid, rules, say, room)
    _brackets(sheet, laid, over, centred, room)
    depth = _tape(sheet, [(sheet.x(at), text) for at, text in marks], high, room)
    foot = sheet.top + high + depth + room.line
    note = f"{scale_words(words, times)}. Tape in {_in_words(writes)}."
    foot = sheet.note(left, foot, note, room.text * 0.85, room.width)
    stamp = _stamp(sheet, look, high, room)
    size = (
        f'data-along="{along:.9g}" data-across="{along * times:.9g}" data-left="{number(left)}" '
        f'data-top="{number(sheet.top)}"'
    )
    head = opening(room.width, foot + room.text * 0.4, board_title(laid, look.name, say), size)
    strips = [strip for rough in laid.rough for layer in rough.layers[:1] for strip in layer.strips]
    body = painted(sheet, look, *saw_lines(sheet, strips, rules), room.step, [stamp])
    return f"{head}<desc>{escape(board_words(laid, say))}</desc>{body}</svg>"


def _in_words(writes: str) -> str:
    return "inches" if writes == "in" else "millimetres"


def _name(rough: RoughLaid, say: Writing, room: Room) -> str:
    """Its name and length; its number alone where there is no room for more."""
    if room.short:
        return rough.name.rpartition("-")[2]
    layers = ", two layers" if len(rough.layers) > 1 else ""
    return (
        f"{rough.name} · {say.bare(rough.box.long)}{layers}{'' if rough.ripped else ', offcut' if rough.kept else ''}"
    )


def _fitted(
    laid: BoardLaid, names: list[tuple[int, str]], marks: list[tuple[int, str]], say: Writing, room: Room
) -> tuple[float, str, float]:
    """Drawing units a millimetre, the scale in words, and where the board begins, so that all words stay on the
    sheet."""
    stamp = room.text * 2.6
    best: tuple[float, str, float] | None = None
    for along, words in room.scales(say.mm(laid.box.long)):
        places = [(say.mm(at) * along, text) for at, text in (*names, *marks)]
        left = max(stamp, margin_for(places, room.text) + room.text * 0.3)
        best = along, words, left
        if left + say.mm(laid.box.long) * along <= room.width - room.fine:
            return best
    assert best is not None
    return best


def _over(laid: BoardLaid, names: list[tuple[int, str]], sheet: Sheet, room: Room) -> tuple[list[Flag], bool]:
    """The names over the board: in the middle of their lengths where all of them have room, else as flags."""
    fits = all(
        wide(text, room.text) < rough.box.long * sheet.along - room.text * 0.4
        for rough, (_, text) in zip(laid.rough, names, strict=True)
    )
    if fits:
        middles = [sheet.x(rough.box.x + rough.box.long / 2) for rough in laid.rough]
        return [Flag(x, text, 0) for x, (_, text) in zip(middles, names, strict=True)], True
    return flags([(sheet.x(end), text) for end, text in names], room.text, room.text * 0.6), False


def _paint(sheet: Sheet, laid: BoardLaid, rules: Rules, say: Writing, room: Room) -> None:
    step = room.step
    sheet.box("board", laid.box)
    for box in laid.waste:
        sheet.hatch("waste", box, step)
    for rough in laid.rough:
        if rough.layers:
            draw_layer(sheet, rough.layers[0], rough.box, rules.crosscut_kerf, rules.rip_kerf, step)
        elif rough.kept:
            edge = rules.edge_trim
            sheet.box("offcuts", Box(rough.box.x, edge, rough.box.long, rough.box.wide - 2 * edge))
            _size_in(
                sheet, rough.box, f"offcut {say.bare(rough.box.wide - 2 * edge)} × {say.bare(rough.box.long)}", room
            )
        else:
            sheet.hatch("waste", rough.box, step)
    for box in laid.kerfs:
        sheet.box("sawn", box)
    for box in laid.bad:
        sheet.box("bad", box)
        sheet.cross("bad", box)
    sheet.box("outline", laid.box)


def _size_in(sheet: Sheet, box: Box, words: str, room: Room) -> None:
    if wide(words, room.text) < box.long * sheet.along * 0.94 and room.line < box.wide * sheet.across:
        x, y = sheet.x(box.x + box.long / 2), sheet.y(box.y + box.wide / 2) + room.text * 0.34
        sheet.write(x, y, words, room.text, anchor="middle", on=True)


def _brackets(sheet: Sheet, laid: BoardLaid, over: list[Flag], centred: bool, room: Room) -> None:
    """A line over every rough length, and its name; a flag's line rises to its own row."""
    y = sheet.top - room.text * 0.35
    tick = room.text * 0.3
    for rough, flag in zip(laid.rough, over, strict=True):
        x = sheet.x(rough.box.x)
        sheet.level("lines", x, y, rough.box.long * sheet.along)
        sheet.upright("lines", x, y - tick, 2 * tick)
        sheet.upright("lines", sheet.x(rough.box.end), y - tick, 2 * tick)
        base = sheet.top - room.text * 0.85 - flag.row * room.line
        if not centred:
            rise = flag.row * room.line + room.text * 0.5
            sheet.upright("lines", sheet.x(rough.box.end), y - rise, rise)
        shift = 0 if centred else -room.text * 0.25
        sheet.write(flag.x + shift, base, flag.text, room.text, anchor="middle" if centred else "end", bold=True)


def _tape(sheet: Sheet, places: _Places, high: float, room: Room) -> float:
    """The marks of the tape under the board; returns how deep they reach under it."""
    start, *rest = places
    top = sheet.top + high
    told = flags(rest, room.text, room.text * 0.6)
    rows = 1 + max((flag.row for flag in told), default=0)
    line = top + room.text * 0.45
    # The hook over the end, and the tape itself.
    sheet.upright("lines", start[0], top - room.text * 0.3, room.text * 0.75)
    sheet.level("lines", start[0], line, sheet.x(0) - start[0] + (rest[-1][0] - start[0] if rest else 0))
    for flag in told:
        base = line + room.text * 0.95 + flag.row * room.line
        sheet.upright("lines", flag.x, top - room.text * 0.15, base - top + room.text * 0.15 + room.text * UNDER_LINE)
        sheet.write(flag.x - room.text * 0.2, base, flag.text, room.text, anchor="end")
    return line - top + room.text * (0.95 - OVER_LINE + UNDER_LINE) + rows * room.line


def _stamp(sheet: Sheet, look: WoodLook, high: float, room: Room) -> str:
    """The wood as it is oiled, with its mark, left of the board."""
    side = room.text * 1.9
    y = sheet.top + max((high - side) / 2, 0)
    stamp = (
        f'<path data-kind="wood" d="M0 {number(y)}h{number(side)}v{number(side)}h{number(-side)}z" '
        f'fill="{look.fill}" stroke="currentColor" stroke-width="{number(room.fine)}"/>'
    )
    if not look.mark:
        return stamp
    width = f'stroke-width="{number(room.text * 0.12)}" stroke-linecap="round" stroke-linejoin="round"'
    mark = mark_path(look.mark, side * 0.1, y + side * 0.1, side * 0.8)
    return f'{stamp}<path data-kind="mark" d="{mark}" fill="none" stroke="{look.ink}" {width}/>'
