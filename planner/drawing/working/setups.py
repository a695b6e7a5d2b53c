"""Saw set-ups drawn as one stands at the machine: what is set, how it is measured, what is kept, how many cuts."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from planner.cutting.setups.bench import named
from planner.cutting.setups.terms import Cut, SetUp
from planner.drawing.looks import DARK_INK, WoodLook, hex_of
from planner.drawing.marking.ink import part_fill, stroke
from planner.drawing.marking.room import PAPER, Room
from planner.drawing.marks import mark_path
from planner.drawing.working import atplaner, atsaw
from planner.drawing.working.canvas import GROUND, Canvas, ink, lines_of
from planner.drawing.working.dimensions import unit_words
from planner.drawing.working.machines import Blades, Picture, kinds_of
from planner.measures import Length, format_length

Words = Callable[[str], str]
_UNKNOWN = (205, 170, 125)


@dataclass(frozen=True, slots=True)
class _Alike:
    """Cuts that differ in nothing but the piece they come off."""

    what: str
    wood: str
    size: tuple[Length, Length, Length]
    count: int
    spares: int
    pieces: tuple[str, ...]
    begins: Length | None


def setup_svg(
    step: SetUp,
    looks: Mapping[str, WoodLook],
    unit: str,
    blades: Blades,
    *,
    room: Room = PAPER,
    title: str = "",
    brief: bool = False,
    words: Words = str,
    made: Sequence[str] = (),
) -> str:
    """A set-up: the machine, mostly from above, to scale; its setting as the plan gives it and how it is measured; what
    is cut, off which pieces, how often; its notes and cautions.

    ``unit`` is "mm" or "in"; ``looks`` of every wood that is cut; ``blades`` what each takes. ``brief`` leaves notes
    and cautions to whoever shows several of a kind, but for what says whose manual comes first. ``words`` puts a
    sentence into the shop's own words for machines; ``made`` says what follows from a tile as made. Every dimension
    carries ``data-mm`` and the root ``data-scale``, drawing units a millimetre. A set-up that is kept from its machine
    shows its pieces and what to do instead.
    """
    canvas = Canvas(room)
    says = _Says(unit, words)
    look = _look(looks, step.cuts[0].wood)
    head = f"{step.number}. {step.words}" if step.number else step.words
    y = canvas.paragraph(
        0, canvas.text * 1.05, words(f"{head}: {step.machine}"), room.width, canvas.text * 1.12, bold=True
    )
    y -= canvas.text * 0.6
    for sentence in made:
        y = _warned(canvas, words(sentence), y + canvas.text * 0.6, bold=True) - canvas.text * 0.6
    picture = None
    if not step.instead:
        picture = _picture(step, look, unit, blades, canvas, y)
        y = picture.foot + canvas.text * 0.9
    for sentence in _facts(step, says):
        y = canvas.paragraph(0, y + canvas.text * 0.35, sentence, room.width, bold=True)
    if step.instead:
        y = _warned(canvas, words(step.instead), y, bold=True)
    y = _lines(canvas, step, looks, says, y)
    drawn = f"Drawn {picture.words}, lines on the wood along its grain. " if picture else ""
    foot = f"{drawn}Sizes in {unit_words(unit)}."
    y = canvas.paragraph(0, y + canvas.text * 0.5, foot, room.width, canvas.text * 0.85)
    if not brief:
        for note in step.notes:
            y = canvas.paragraph(0, y + canvas.text * 0.3, words(note), room.width, canvas.text * 0.92)
    for caution in step.cautions:
        if not brief or "manual" in caution.words:
            y = _warned(canvas, words(caution.words), y)
    said = " ".join([*made, *_facts(step, says), *(line for line, _ in _told(step, says)), words(step.instead)]).strip()
    data = {"set-up": str(step.number), "kind": step.kind}
    if picture:
        data["scale"] = f"{picture.scale:.9g}"
    return canvas.svg(y - canvas.text * 0.6, title or words(head), said, list(_kinds(canvas, step, looks, look)), data)


def machine_svg(
    step: SetUp,
    looks: Mapping[str, WoodLook],
    unit: str,
    blades: Blades,
    *,
    room: Room = PAPER,
    title: str = "",
    words: Words = str,
) -> str:
    """The machine of a set-up by itself, as ``setup_svg`` draws it, for whoever tells the rest beside it; "" for one
    that is kept from its machine."""
    if step.instead:
        return ""
    canvas = Canvas(room)
    look = _look(looks, step.cuts[0].wood)
    picture = _picture(step, look, unit, blades, canvas, 0)
    said = " ".join(_facts(step, _Says(unit, words)))
    data = {"set-up": str(step.number), "kind": step.kind, "scale": f"{picture.scale:.9g}"}
    kinds = list(_kinds(canvas, step, looks, look))
    return canvas.svg(picture.foot, title or words(step.words), said, kinds, data)


def _picture(step: SetUp, look: WoodLook, unit: str, blades: Blades, canvas: Canvas, y: float) -> Picture:
    if step.kind == "joint":
        return atplaner.joint_picture(step, look, unit, canvas, y)
    if step.kind in ("plane", "gauge"):
        return atplaner.thickness_picture(step, look, unit, canvas, y)
    draw = {
        "rough": atsaw.rough_picture,
        "resaw": atsaw.resaw_picture,
        "rip": atsaw.rip_picture,
        "square": atsaw.square_picture,
        "part": atsaw.part_picture,
    }[step.kind]
    return draw(step, look, unit, blades, canvas, y)


class _Says:
    """Lengths and sentences as the shop writes them."""

    def __init__(self, unit: str, words: Words) -> None:
        self.unit, self.words = unit, words

    def length(self, length: Length) -> str:
        return format_length(length, self.unit).replace(" ", "\u00a0")

    def size(self, *sizes: Length) -> str:
        bare = [format_length(size, self.unit, with_unit=False).replace(" ", "\u00a0") for size in sizes[:-1]]
        return "\u00a0×\u00a0".join([*bare, self.length(sizes[-1])])


def _facts(step: SetUp, says: _Says) -> Iterator[str]:
    """What is set and how it is measured; how many cuts."""
    if not step.instead:
        yield says.words(_set(step, says))
    count, spares = sum(cut.count for cut in step.cuts), sum(cut.spares for cut in step.cuts)
    of_them = f", {spares} of them spare" if spares else ""
    what = {
        "rough": "length",
        "joint": "rough length",
        "resaw": "rough length",
        "plane": "piece",
        "rip": "strip",
        "gauge": "strip",
        "square": "strip",
        "part": "part",
    }[step.kind]
    pieces = f"{count} {what}{'' if count == 1 else 's'}{of_them}"
    if step.kind in ("joint", "plane", "gauge", "resaw") or step.instead:
        yield f"{pieces}."
        return
    cuts = f"{step.passes} cut{'' if step.passes == 1 else 's'}"
    abreast = f", up to {step.bundle} strips side by side" if step.bundle > 1 else ""
    yield f"{cuts}{abreast}: {pieces}."


def _set(step: SetUp, says: _Says) -> str:
    if not step.settings:
        return (
            "Tape hooked on the left end: every mark is measured from there, the blade beside what is kept."
            if step.kind == "rough"
            else "No measure is set: a face flat, then an edge square to it."
        )
    setting = step.settings[0]
    exact = says.length(setting.exact)
    at = f"{says.length(setting.set_to)} on the scale, exact {exact}," if setting.off else exact
    if setting.what == "stop":
        spacer = says.length(setting.spacer)
        return (
            f"Stop at {at} from the blade's near side, the {spacer} spacer counted in. The spacer is taken away before "
            "the cut."
            if setting.spacer.mm
            else f"Stop at {at} from the blade's near side. It is swung away before the cut, once the wood is held."
        )
    if setting.what == "fence":
        return f"Fence at {at} from the blade's near side."
    if setting.what == "fence at least":
        return f"Fence at half the flattened thickness less half the kerf: each layer keeps more than {exact}."
    if setting.what == "mark":
        return f"Pencil mark {exact} from the strip's better end, the blade on its waste side. No stop."
    on_edge = ", strips on edge" if step.kind == "gauge" else ""
    return f"Thickness {at}{on_edge}, all of them at one setting."


def _alike(step: SetUp) -> list[_Alike]:
    found: dict[tuple[object, ...], list[Cut]] = {}
    for cut in step.cuts:
        alone = (cut.piece, cut.begins) if cut.begins is not None else ()
        key = cut.what, cut.wood, cut.length, cut.width, cut.thickness, *alone
        found.setdefault(key, []).append(cut)
    return [
        _Alike(
            some[0].what,
            some[0].wood,
            (some[0].length, some[0].width, some[0].thickness),
            sum(cut.count for cut in some),
            sum(cut.spares for cut in some),
            tuple(
                dict.fromkeys(name for cut in some for name in (cut.gives if cut.begins is not None else (cut.piece,)))
            ),
            some[0].begins,
        )
        for some in found.values()
    ]


def _told(step: SetUp, says: _Says) -> Iterator[tuple[str, str]]:
    """(words, wood) of cuts alike."""
    for one in _alike(step):
        long, across, thick = one.size
        size = says.size(long, across, thick) if thick.mm else says.size(long, across)
        if one.begins is not None:
            end = says.length(one.begins + long)
            yield f"{named(list(one.pieces))}: {says.length(one.begins)} to {end}, {one.what}, {size}", one.wood
            continue
        spare = f", {one.spares} of them spare" if one.spares else ""
        yield f"{one.count}\u00a0× {one.what}, {size}{spare}, off {named(list(one.pieces))}", one.wood


def _lines(canvas: Canvas, step: SetUp, looks: Mapping[str, WoodLook], says: _Says, y: float) -> float:
    """Every sort of cut with the mark of its wood."""
    text = canvas.text
    size, side = text * 0.95, text
    y += text * 0.45
    for words, wood in _told(step, says):
        look = _look(looks, wood)
        canvas.box(f"stamp of {wood}", canvas.fine, y - size * 0.82, side, side)
        if look.mark:
            place = canvas.fine + side * 0.1, y - size * 0.82 + side * 0.1
            canvas.add(f"mark of {wood}", mark_path(look.mark, *place, side * 0.8))
        told = f"{look.name}: {words}"
        for line_y, line in _wrapped(told, size, canvas.room.width - side * 1.6, y):
            canvas.write(side * 1.5, line_y, line, size)
            y = line_y
        y += size * 1.45
    return y


def _wrapped(text: str, size: float, room: float, y: float) -> Iterator[tuple[float, str]]:
    for n, line in enumerate(lines_of(text, size, room)):
        yield y + n * size * 1.2, line


def _warned(canvas: Canvas, words: str, y: float, *, bold: bool = False) -> float:
    """A sentence with the sign of a caution before it."""
    text = canvas.text
    size = text if bold else text * 0.92
    y += text * 0.35
    side, top = text * 1.05, y - text * 0.85
    canvas.shape(
        "warned",
        [(side / 2 + canvas.fine, top), (side + canvas.fine, top + side * 0.9), (canvas.fine, top + side * 0.9)],
    )
    canvas.upright("warns", side / 2 + canvas.fine, top + side * 0.34, side * 0.28)
    canvas.level("warns", side / 2 + canvas.fine - text * 0.05, top + side * 0.76, text * 0.1)
    return canvas.paragraph(side * 1.5, y, words, canvas.room.width - side * 1.5, size, bold=bold)


def _look(looks: Mapping[str, WoodLook], wood: str) -> WoodLook:
    return looks.get(wood) or WoodLook(wood, _UNKNOWN, "")


def _kinds(canvas: Canvas, step: SetUp, looks: Mapping[str, WoodLook], look: WoodLook) -> Iterator[tuple[str, str]]:
    fine = canvas.fine
    yield from kinds_of(canvas, look)
    yield "bed", ink(fine * 2)
    yield "head", f'fill="{GROUND}" stroke="{DARK_INK}" stroke-width="{fine * 1.4:.3g}"'
    round_ = 'stroke-linecap="round" stroke-linejoin="round"'
    for wood in dict.fromkeys(cut.wood for cut in step.cuts):
        fill = hex_of(part_fill(_look(looks, wood)))
        yield f"stamp of {wood}", f'fill="{fill}" stroke="{DARK_INK}" stroke-width="{fine}"'
        yield f"mark of {wood}", stroke(canvas.text * 0.1, round_)
    yield "warned", ink(fine * 2, 'stroke-linejoin="round"')
    yield "warns", ink(canvas.text * 0.13)
