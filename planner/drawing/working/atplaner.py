"""Set-ups at jointer and planer: a straight edge from above, a thickness from the side."""

from __future__ import annotations

from fractions import Fraction

from planner.cutting.setups.terms import SetUp
from planner.drawing.looks import WoodLook, number
from planner.drawing.working.canvas import Canvas
from planner.drawing.working.dimensions import Span
from planner.drawing.working.machines import Machine, Picture, scale_for


def joint_picture(step: SetUp, look: WoodLook, unit: str, canvas: Canvas, y: float) -> Picture:
    """A rough length over the jointer, its edge against the fence."""
    cut = step.cuts[0]
    text, width = canvas.text, canvas.room.width
    scale, words = scale_for(canvas.room, width * 0.24 / float(cut.width.mm))
    fence = y + text * 0.5
    top = fence + text * 1.2
    high = float(cut.width.mm) * scale
    machine = Machine(canvas, look, unit, scale, text * 3.4, top)
    low = top + max(high, text * 3) + text * 1.5
    head = width * 0.5
    canvas.box("table", canvas.fine, fence, width - 2 * canvas.fine, low - fence)
    machine.fixed(canvas.fine, fence, width - 2 * canvas.fine, top - fence)
    machine.wood(text * 3.4, top, width * 0.8 - text * 3.4, high, broken="left right")
    machine.stamp(text * 5.4, top + high / 2)
    canvas.box("blade", head - text * 0.3, top, text * 0.6, low - top)
    canvas.write(head + text * 0.7, low - text * 0.35, "cutters, guarded", text * 0.9)
    words_on = ("this edge straight, for the saw's fence", "straight edge")
    machine.label(width * 0.29, top + min(high * 0.3, text), words_on, width * 0.34)
    canvas.arrow("feed", width * 0.83, top + text * 1.8, width * 0.1, 0, text * 0.55)
    canvas.write(width * 0.83, top + text * 1.3, "feed", text * 0.9)
    machine.measure_up(Span("width", Fraction(0), cut.width.mm), text * 2.2, text * 3.4)
    machine.done()
    return Picture(low + text * 0.6, scale, words)


def thickness_picture(step: SetUp, look: WoodLook, unit: str, canvas: Canvas, y: float) -> Picture:
    """Wood under the cutters from the side, its thickness measured where it has passed them."""
    setting = step.settings[0]
    text, width = canvas.text, canvas.room.width
    scale, words = scale_for(canvas.room, min(width * 0.16, text * 9) / float(setting.exact.mm))
    high = float(setting.exact.mm) * scale
    radius = text * 1.5
    top = y + 2 * radius + text * 0.4
    machine = Machine(canvas, look, unit, scale, 0, top)
    head, end = width * 0.42, width * 0.8
    more = min(text * 0.5, radius * 0.4)
    # Before the cutters it is as thick as it came.
    machine.wood(text * 1.5, top - more, head - text * 1.5, high + more, broken="left")
    machine.wood(head, top, end - head, high, broken="right")
    machine.stamp((head + end) / 2, top + high / 2)
    low = top + high
    canvas.level("bed", canvas.fine, low, width - 2 * canvas.fine)
    canvas.hatch("fixed hatch", "fall", canvas.fine, low, width - 2 * canvas.fine, text * 0.7, text * 0.5)
    canvas.add("head", _circle(head, top - radius, radius))
    canvas.add("head", _circle(head, top - radius, text * 0.25))
    canvas.write(head + radius + text * 0.4, top - radius, "cutters or drum, from the side", text * 0.9)
    canvas.arrow("feed", text * 1.5, top - more - text * 0.7, width * 0.12, 0, text * 0.55)
    canvas.write(text * 1.5, top - more - text * 1.2, "feed", text * 0.9)
    name = "thickness" if step.kind == "plane" else "width"
    machine.measure_up(Span(name, Fraction(0), setting.exact.mm, (name,)), end + text * 2.2, end)
    machine.done()
    return Picture(low + text * 1.3, scale, words)


def _circle(x: float, y: float, radius: float) -> str:
    r = number(radius)
    return (
        f"M{number(x - radius)} {number(y)}a{r} {r} 0 1 0 {number(2 * radius)} 0a{r} {r} 0 1 0 {number(-2 * radius)} 0z"
    )
