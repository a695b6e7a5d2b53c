"""Set-ups at a saw, from above: blade, fence or stop, spacer, and the wood held at its cut.

Nought millimetres are the side of the blade the setting is measured from. Whatever lies between blade and stop is drawn
as it is at the cut: held, and with the spacer's room behind it.
"""

from __future__ import annotations

from fractions import Fraction

from planner.cutting.setups.terms import SetUp
from planner.drawing.looks import WoodLook
from planner.drawing.marking.letters import wide
from planner.drawing.working.canvas import Canvas
from planner.drawing.working.dimensions import Span, says_in
from planner.drawing.working.machines import Blades, Machine, Picture, scale_for
from planner.measures import Length

# Of a strip or board, the least that is shown on the far side of the blade.
_FAR = 0.36


def part_picture(step: SetUp, look: WoodLook, unit: str, blades: Blades, canvas: Canvas, y: float) -> Picture:
    """A part at its stop, held, the spacer taken away."""
    setting, cut = step.settings[0], step.cuts[0]
    text, width = canvas.text, canvas.room.width
    body = text * 1.6
    # Room for the stop, and for the number of a spacer too short for it.
    spare = max(body + text * 0.4, wide(says_in(unit)(setting.spacer.mm), text) + text * 0.6)
    most = min((width * (1 - _FAR) - spare) / float(setting.exact.mm), width * 0.3 / float(cut.width.mm))
    scale, words = scale_for(canvas.room, most)
    near = width - spare - float(setting.exact.mm) * scale
    machine = Machine(canvas, look, unit, scale, near, 0)
    over = [_span("stop", 0, setting.exact, "stop")]
    level = y + machine.depth(over)
    fence = level + text * 0.6
    strip = fence + text * 1.2
    machine.sheet.top = machine.top = strip
    high = float(cut.width.mm) * scale
    bed = strip + high + text * 2.9
    kerf, length = float(blades.crosscut.mm), setting.exact - setting.spacer
    end, stop = machine.x(float(length.mm)), machine.x(float(setting.exact.mm))
    canvas.box("table", canvas.fine, fence, width - 2 * canvas.fine, bed - fence)
    machine.fixed(canvas.fine, fence, machine.x(-kerf) - text * 0.5, strip - fence)
    machine.fixed(near + text * 0.5, fence, stop + body - near - text * 0.5, strip - fence)
    _held_strip(machine, cut.width, strip, machine.x(-kerf), bed)
    machine.wood(near, strip, end - near, high, broken="")
    pad = min(text * 1.6, (end - near) * 0.4)
    machine.hold((near + end - pad) / 2, strip - text * 0.25, pad, high + text * 0.5)
    canvas.write((near + end) / 2, strip + high + text * 1.35, "keep", bold=True, anchor="middle")
    tall = max(high + text * 0.6, text * 1.6)
    if setting.spacer.mm:
        machine.fixed(stop, strip, body, tall)
        canvas.box("spacer", end, strip + text * 0.1, stop - end, max(high - text * 0.2, text))
    else:
        # Swung away: where it stood is dashed, and nothing is behind the part at the cut.
        canvas.box("spacer", stop, strip, body, tall)
        machine.fixed(stop + text * 0.3, fence - text * 1.7, body, text * 1.6)
    machine.blade(0, kerf, fence - text * 0.3, bed - fence + text * 0.6)
    machine.measure(over, level, strip, -1)
    spans = [_span("kerf", -blades.crosscut, Length.of_mm(0), "kerf"), _span("part", 0, length, "part")]
    if setting.spacer.mm:
        spans.append(_span("spacer", length, setting.exact, "spacer"))
    return Picture(_under(machine, spans, bed, strip + high), scale, words)


def square_picture(step: SetUp, look: WoodLook, unit: str, blades: Blades, canvas: Canvas, y: float) -> Picture:
    """A strip whose front is squared at a pencil mark: the blade on the waste side, no stop, the waste free to fall."""
    setting, cut = step.settings[0], step.cuts[0]
    text, width = canvas.text, canvas.room.width
    far = width * 0.5
    most = min(width * 0.34 / float(setting.exact.mm), width * 0.3 / float(cut.width.mm))
    scale, words = scale_for(canvas.room, most)
    machine = Machine(canvas, look, unit, scale, far, 0)
    over = [_span("mark", 0, setting.exact, "mark")]
    level = y + machine.depth(over)
    fence = level + text * 0.6
    strip = fence + text * 1.2
    machine.sheet.top = machine.top = strip
    high = float(cut.width.mm) * scale
    bed = strip + high + text * 2.9
    kerf, front = float(blades.crosscut.mm), float(setting.exact.mm)
    canvas.box("table", canvas.fine, fence, width - 2 * canvas.fine, bed - fence)
    machine.fixed(canvas.fine, fence, far - text * 0.5, strip - fence)
    right = machine.x(kerf) + text * 0.5
    machine.fixed(right, fence, width - right - canvas.fine, strip - fence)
    _held_strip(machine, cut.width, strip, far, bed)
    machine.wood(machine.x(kerf), strip, (front - kerf) * scale, high, waste=True)
    canvas.upright("to be cut", far, strip - text * 0.2, high + text * 0.4)
    middle = machine.x((kerf + front) / 2)
    room = min((front - kerf) * scale, text * 12) + text * 0.6
    waste = next((one for one in ("waste, free to fall", "free to fall") if wide(one, text) < room), "waste")
    canvas.write(middle, strip + high + text * 1.35, waste, anchor="middle")
    machine.blade(kerf, kerf, fence - text * 0.3, bed - fence + text * 0.6)
    machine.measure(over, level, strip, -1)
    foot = _under(machine, [_span("kerf", 0, blades.crosscut, "kerf")], bed, strip + high)
    return Picture(foot, scale, words)


def rip_picture(step: SetUp, look: WoodLook, unit: str, blades: Blades, canvas: Canvas, y: float) -> Picture:
    """A strip ripped between blade and fence, what is left of the rough length on the far side."""
    return _at_fence(step, look, unit, blades.rip, canvas, y, resawn=False)


def resaw_picture(step: SetUp, look: WoodLook, unit: str, blades: Blades, canvas: Canvas, y: float) -> Picture:
    """A rough length on edge at the band saw, parted into two layers; its kerf is a line where it is not known."""
    return _at_fence(step, look, unit, blades.resaw, canvas, y, resawn=True)


def _at_fence(
    step: SetUp, look: WoodLook, unit: str, kerf: Length, canvas: Canvas, y: float, *, resawn: bool
) -> Picture:
    setting = step.settings[0]
    text, width = canvas.text, canvas.room.width
    body, away = text * 1.6, float(setting.exact.mm)
    scale, words = scale_for(canvas.room, width * 0.42 / away)
    right = width - body - text * 3.2
    near = min(right - away * scale, width * 0.62)
    machine = Machine(canvas, look, unit, scale, near, 0)
    over = [_span("fence", 0, setting.exact, "fence, at least" if resawn else "fence")]
    level = y + machine.depth(over)
    top = level + text * 0.9
    high = max(width * 0.26, text * 9)
    low = top + high
    machine.sheet.top = machine.top = top
    blade_at, blade = top + high * 0.34, high * 0.3
    sawn, fence = machine.x(-float(kerf.mm)), machine.x(away)
    # The far side: of a strip's rough length what is left, of a resawn one the other layer.
    far = max(text * 3.9, sawn - away * scale) if resawn else text * 3.9
    canvas.box("table", canvas.fine, top - text * 0.5, width - 2 * canvas.fine, high + text)
    machine.wood(far, top, sawn - far, high, broken="low" if resawn else "left low", along="y")
    machine.wood(near, top, fence - near, high, broken="low", along="y")
    if kerf.mm:
        machine.wood(sawn, blade_at + blade, near - sawn, low - blade_at - blade, along="y")
    canvas.upright("to be cut", near, blade_at + blade, low - blade_at - blade)
    machine.fixed(fence, top - text * 0.5, body, high + text)
    machine.blade(0, max(float(kerf.mm), 0.0) or canvas.fine / scale, blade_at, blade)
    machine.stamp((far + sawn) / 2, top + high * 0.2)
    kept = ("keep this layer", "keep") if resawn else ("keep",)
    machine.label((near + fence) / 2, top + high * 0.2, kept, fence - near)
    machine.label((far + sawn) / 2, top + high * 0.55, _far_words(resawn), sawn - far)
    _push_stick(machine, (near + fence) / 2, min(text * 0.7, (fence - near) * 0.5), low, fence + body)
    machine.feed(text * 1.3, low, -high * 0.5, "feed")
    machine.measure(over, level, top - text * 0.5, -1)
    spans = [_span("kerf", -kerf, Length.of_mm(0), "kerf")] if kerf.mm else []
    spans.append(_span("layer" if resawn else "strip", 0, setting.exact, "layer, more than" if resawn else "strip"))
    foot = low + text * 2.2
    machine.measure(spans, foot, low, 1)
    machine.done()
    return Picture(foot + machine.depth(spans), scale, words)


def _push_stick(machine: Machine, x: float, thick: float, low: float, right: float) -> None:
    """The stick that brings the wood through, named beyond the fence."""
    canvas = machine.canvas
    text = canvas.text
    top = low - text * 2.6
    canvas.box("holds", x - thick / 2, top, thick, low - top + text * 0.4)
    canvas.level("leader", x + thick / 2, top + text, right + text * 0.2 - x - thick / 2)
    canvas.write(right + text * 0.4, top + text * 0.9, "push", text * 0.9)
    canvas.write(right + text * 0.4, top + text * 1.9, "stick", text * 0.9)


def _far_words(resawn: bool) -> tuple[str, ...]:
    return ("keep this layer too", "keep") if resawn else ("what is left, fed again", "left, fed again", "left")


def rough_picture(step: SetUp, look: WoodLook, unit: str, blades: Blades, canvas: Canvas, y: float) -> Picture:
    """A board against the saw's fence with every cut where the blade takes it, the tape hooked on its left end."""
    text, width = canvas.text, canvas.room.width
    cuts = sorted(step.cuts, key=lambda cut: cut.begins or Length.of_mm(0))
    ends = [(cut.begins or Length.of_mm(0)) + cut.length for cut in cuts]
    whole = float(ends[-1].mm)
    marks = sorted({cut.begins or Length.of_mm(0) for cut in cuts} | set(ends))
    margin = max(wide(says_in(unit)(mark.mm), text) for mark in marks) + text * 0.8
    scale, words = scale_for(canvas.room, (width * 0.94 - margin - text * 2.5) / whole)
    machine = Machine(canvas, look, unit, scale, margin, 0)
    over = [
        _span(cut.gives[0] if cut.gives else cut.piece, cut.begins or Length.of_mm(0), end)
        for cut, end in zip(cuts, ends, strict=True)
    ]
    level = y + machine.depth(over)
    fence = level + text * 0.6
    board = fence + text * 1.2
    machine.sheet.top = machine.top = board
    high = max(float(cuts[0].width.mm) * scale, text * 2.2)
    tail = min(machine.x(whole) + text * 4, width - canvas.fine)
    machine.fixed(canvas.fine, fence, width - 2 * canvas.fine, board - fence)
    kerf = float(blades.crosscut.mm)
    at = 0.0
    for n, (cut, end) in enumerate(zip(cuts, ends, strict=True)):
        begins = float((cut.begins or Length.of_mm(0)).mm)
        if begins > at:
            machine.wood(machine.x(at), board, (begins - at) * scale, high, waste=True)
            if n and begins - at > kerf:
                machine.blade(at + kerf, kerf, board - text * 0.3, high + text * 0.6)
            machine.blade(begins, kerf, board - text * 0.3, high + text * 0.6)
        long = (float(end.mm) - begins) * scale
        machine.wood(machine.x(begins), board, long, high)
        name = cut.gives[0] if cut.gives else cut.piece
        short = name.rpartition("-")[2] or name
        machine.label(machine.x(begins) + long / 2, board + high * 0.5, (f"{name}, keep", name, short), long)
        at = float(end.mm)
    if _cuts_between(step, kerf) < step.passes:
        machine.wood(machine.x(at), board, tail - machine.x(at), high, broken="right", waste=True)
        machine.blade(at + kerf, kerf, board - text * 0.3, high + text * 0.6)
    machine.measure(over, level, board, -1)
    foot = _tape(machine, marks, board + high)
    return Picture(foot, scale, words)


def _cuts_between(step: SetUp, kerf: float) -> int:
    """Cuts before the last length's end: one more than these frees it from what is left."""
    end, cuts = 0.0, 0
    for n, cut in enumerate(sorted(step.cuts, key=lambda one: one.begins or Length.of_mm(0))):
        begins = float((cut.begins or Length.of_mm(0)).mm)
        gap = begins - end
        cuts += 0 if gap <= 0 else 1 if not n or gap <= kerf + 1e-9 else 2
        end = begins + float(cut.length.mm)
    return cuts


def _tape(machine: Machine, marks: list[Length], y: float) -> float:
    """Marks of the tape under a board, each measured from the hooked end, one under another so that none is hidden."""
    text = machine.canvas.text
    y += text * 0.9
    for mark in marks:
        if mark.mm:
            machine.measure([_span("mark", 0, mark)], y, y - text * 0.6, 1)
            y += machine.depth([_span("mark", 0, mark)])
    machine.done()
    return y


def _held_strip(machine: Machine, width: Length, y: float, end: float, bed: float) -> None:
    """The strip on the far side of the blade, under its hold-down, its width measured."""
    canvas = machine.canvas
    text, high = canvas.text, float(width.mm) * machine.scale
    begin = text * 3.4
    machine.wood(begin, y, end - begin, high, broken="left")
    middle = begin + (end - begin) * 0.4
    machine.hold(middle - text * 0.9, y - text * 0.25, text * 1.8, high + text * 0.5)
    mark = begin + (end - begin) * 0.12 + text * 0.6
    if high > text * 1.5 and mark + text * 1.6 < middle:
        machine.stamp(mark, y + high / 2)
    foot, beside = y + high + text * 1.35, text * 1.1
    # A strip too narrow for its number has it beside these words.
    left = begin if machine.has_room(width) else max(begin, beside + wide(machine.say(width.mm), text) + text * 0.3)
    words = ("strip, held down", "held down", "held")
    fit = next((one for one in words if left + wide(one, text) < end - text * 0.3), words[-1])
    canvas.write(max(middle, left + wide(fit, text) / 2), foot, fit, anchor="middle")
    machine.measure_up(Span("width", Fraction(0), width.mm), text * 2.3, begin, beside=(beside, foot))
    machine.feed(text * 0.6, bed - text * 0.2, y - bed + text * 0.4)
    canvas.write(text * 1.1, bed - text * 0.3, "push", text * 0.9)


def _under(machine: Machine, spans: list[Span], bed: float, edge: float) -> float:
    """The lower row of dimensions; returns where the drawing ends."""
    y = bed + machine.canvas.text * 1.7
    machine.measure(spans, y, edge, 1)
    machine.done()
    return y + machine.depth(spans)


def _span(name: str, begin: Length | int, end: Length, word: str = "") -> Span:
    start = begin if isinstance(begin, Length) else Length.of_mm(begin)
    return Span(name, start.mm, end.mm, (word,) if word else ())
