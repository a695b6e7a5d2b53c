"""The working drawings' door to the planner: a record, set-ups and a timetable in, SVG out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from decimal import Decimal

from django.utils.formats import date_format

from planner.cutting.fromshop import unit_of
from planner.cutting.setups import KINDS, SetUp, from_record
from planner.drawing.marking import PAPER, PHONE, SCREEN, Room
from planner.drawing.working import (
    Blades,
    laid_svg,
    money_svg,
    parts_svgs,
    seams_svg,
    setup_svg,
    timetable_svgs,
)
from planner.measures import ZERO, Length, format_length
from shopapp.plans.cutting.asmade.planning import Followed
from shopapp.plans.cutting.sheets.planning import cut_file
from shopapp.plans.planning import looks_of
from shopapp.plans.timetable.planning import Opened

__all__ = [
    "ON_PAPER",
    "ON_PHONE",
    "ON_SCREEN",
    "Saw",
    "Sources",
    "as_made",
    "kinds_of",
    "of_money",
    "of_timetable",
    "on_its_own",
]

ON_PAPER, ON_SCREEN, ON_PHONE = PAPER, SCREEN, PHONE


@dataclass(frozen=True)
class Saw:
    """The set-ups of a kept cut plan and what its blades take."""

    steps: tuple[SetUp, ...]
    blades: Blades
    # By number of the set-up, what follows for it from a tile as made, in sentences.
    made: Mapping[int, tuple[str, ...]] = field(default_factory=dict)

    @classmethod
    def of(cls, form: str, set_ups: Mapping, resaw: Length = ZERO) -> Saw:
        file = cut_file(form)
        unit, rules = unit_of(file.unit), file.job.rules
        return cls(
            from_record(set_ups).steps if set_ups else (),
            Blades(unit * rules.crosscut_kerf, unit * rules.rip_kerf, resaw),
        )


@dataclass(frozen=True)
class Sources:
    """What the drawings of one plan are made from. ``money`` writes an amount, ``words`` a sentence in the shop's own
    words; ``saw`` and ``timetable`` (its form and first day) are None where none is kept."""

    record: dict
    label: str
    unit: str
    words: Callable[[str], str]
    money: Callable[[Decimal], str]
    saw: Saw | None
    timetable: tuple[str, date] | None

    def laid(self, room: Room, *, face_down: bool) -> str:
        how = "laid to be glued face down" if face_down else "as it is laid"
        return laid_svg(
            self.record,
            looks_of(self.record),
            self.unit,
            mirrored=face_down,
            title=f"{self.label}, {how}",
            room=room,
        )

    def parts(self, room: Room) -> Sequence[str]:
        title = f"{self.label}, its parts at each stage"
        return parts_svgs(self.record, looks_of(self.record), self.unit, title=title, room=room)

    def seams(self, room: Room) -> str:
        title = f"{self.label}, its seams and their long grain"
        return seams_svg(self.record, looks_of(self.record), self.unit, title=title, room=room)

    def set_up(self, number: int, room: Room, *, brief: bool) -> str | None:
        step = next((one for one in self.saw.steps if one.number == number), None) if self.saw else None
        if step is None:
            return None
        return setup_svg(
            step,
            looks_of(self.record),
            self.unit,
            self.saw.blades,
            room=room,
            title=self.words(f"{self.label}, set-up {step.number}: {step.words}"),
            brief=brief,
            words=self.words,
            made=self.saw.made.get(number, ()),
        )


def as_made(saw: Saw, followed: Followed, unit: str) -> Saw:
    """The set-ups with the stops that follow from a tile as it was measured. Where parts of one stop come to several,
    it is drawn as it was planned, and where each of them stands now is said."""
    steps, made = [], {}
    for step in saw.steps:
        stops = [line for line in followed.stops if line.step == step.number]
        # A name may have an "or" of its own: top or bottom border.
        if len(stops) == 1 and all(f" or {cut.what} or " in f" or {stops[0].names} or " for cut in step.cuts):
            (line,) = stops
            setting = replace(step.settings[0], exact=line.stop, set_to=line.set_to, spacer=followed.stand_off)
            cuts = tuple(replace(cut, length=line.length) for cut in step.cuts)
            step = replace(step, settings=(setting,), cuts=cuts, notes=(line.test, *line.notes))
            made[step.number] = ("As made: this stop follows from the tile that was measured.",)
        elif stops:
            now = (
                f"As made, for {line.names}: stop {format_length(line.set_to, unit)} on the scale, exact "
                f"{format_length(line.stop, unit)}."
                for line in stops
            )
            made[step.number] = (*now, "What is drawn here is how it was planned.")
        steps.append(step)
    return replace(saw, steps=tuple(steps), made=made)


def kinds_of(saw: Saw) -> list[tuple[str, str, list[SetUp]]]:
    """(kind, what it is called, its set-ups) in the order of the work."""
    found: dict[str, list[SetUp]] = {}
    for step in saw.steps:
        found.setdefault(step.kind, []).append(step)
    return [(kind, KINDS[kind], steps) for kind, steps in found.items()]


def of_timetable(sources: Sources, room: Room) -> list[str]:
    """None where no timetable is kept."""
    if sources.timetable is None:
        return []
    form, first = sources.timetable
    opened = Opened.of(form)
    if opened.timetable is None:
        return []

    def day(after: int) -> str:
        return date_format(first + timedelta(days=after), "D j M")

    return timetable_svgs(
        opened.glue_work,
        opened.timetable,
        day,
        labels=opened.about["boards"],
        room=room,
        title=f"{sources.label}, its evenings",
    )


def of_money(sources: Sources, room: Room) -> str:
    title = f"{sources.label}, where the money goes"
    return money_svg(sources.record, looks_of(sources.record), sources.money, room=room, title=title)


def on_its_own(drawing: str) -> str:
    """A drawing for paper as a file that keeps its scale: its size in millimetres stands at its root."""
    begin = drawing.index('viewBox="') + len('viewBox="')
    _, _, wide, high = drawing[begin : drawing.index('"', begin)].split()
    return drawing.replace("<svg ", f'<svg width="{wide}mm" height="{high}mm" ', 1)
