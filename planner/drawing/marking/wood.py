"""What board and layer drawings have in common: the cuts of a layer put on the sheet."""

from __future__ import annotations

from collections.abc import Iterable

from planner.cutting.plan import Rules
from planner.drawing.marking.ink import Sheet, saw_line
from planner.drawing.marking.laid import Box, Layer, StripLaid


def draw_layer(sheet: Sheet, layer: Layer, box: Box, crosscut_kerf: int, rip_kerf: int, step: float) -> None:
    """Strips, parts, kerfs and rests of a layer whose rough length is ``box``. Strips cut alike are drawn together:
    the lines of their crosscuts run through the rip kerfs between them, which are as dark."""
    edge = layer.strips[0].box.y - box.y if layer.strips else (layer.rest.y if layer.rest else 0)
    if edge:
        sheet.hatch("waste", Box(box.x, 0, box.long, edge), step)
        sheet.hatch("waste", Box(box.x, box.wide - edge, box.long, edge), step)
        # No saw runs along the straight edge; a line keeps light wood and trim apart in grey.
        for y in (edge, box.wide - edge):
            sheet.level("edges", sheet.x(box.x), sheet.y(y), box.long * sheet.along)
    for group in layer.groups:
        _group(sheet, group, crosscut_kerf, rip_kerf, step)
    for strip in layer.strips[:-1]:
        _ripped(sheet, strip, rip_kerf)
    last = layer.strips[-1] if layer.strips else None
    end = box.wide - edge
    if last is not None and last.box.y + last.box.wide < end:
        if layer.rest is not None:
            _ripped(sheet, last, rip_kerf)
        else:
            sheet.hatch(
                "waste", Box(box.x, last.box.y + last.box.wide, box.long, end - last.box.y - last.box.wide), step
            )
    if layer.rest is not None:
        if layer.rest_kept:
            sheet.box("offcuts", layer.rest)
        else:
            sheet.hatch("waste", layer.rest, step)


def _ripped(sheet: Sheet, strip: StripLaid, kerf: int) -> None:
    y = sheet.y(strip.box.y + strip.box.wide + kerf / 2)
    sheet.level("rips", sheet.x(strip.box.x), y, strip.box.long * sheet.along)


def _group(sheet: Sheet, group: tuple[StripLaid, ...], kerf: int, rip_kerf: int, step: float) -> None:
    first, last = group[0], group[-1]
    wide = last.box.y + last.box.wide - first.box.y
    top = first.box.y
    if first.head:
        sheet.hatch("waste", Box(first.box.x, top, first.head, wide), step)
    for run in first.runs:
        sheet.box("parts", Box(run.x, top, run.long, wide))
    for at in first.kerfs:
        shown = min(kerf, first.box.end - at)
        sheet.upright("crosscuts", sheet.x(at + shown / 2), sheet.y(top), wide * sheet.across)
    if first.tail:
        begin = first.box.end - first.tail
        if first.kept:
            for strip in group:
                sheet.box("offcuts", Box(begin, strip.box.y, first.tail, strip.box.wide))
        else:
            held = Box(first.box.end - first.grip, top, first.grip, wide)
            if held.long:
                sheet.dots("grip", held, step)
            if first.tail > first.grip:
                sheet.hatch("waste", Box(begin, top, first.tail - first.grip, wide), step)


def saw_lines(sheet: Sheet, strips: Iterable[StripLaid], rules: Rules) -> tuple[float, float]:
    """How wide crosscut and rip kerfs are drawn beside these strips."""
    some = list(strips)
    parts = [piece for strip in some for run in strip.runs for piece in run.pieces]
    cross = saw_line(rules.crosscut_kerf, min(parts, default=10**6), sheet.along, sheet.fine)
    rip = saw_line(rules.rip_kerf, min((strip.box.wide for strip in some), default=10**6), sheet.across, sheet.fine)
    return cross, rip
