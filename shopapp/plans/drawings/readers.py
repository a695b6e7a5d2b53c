"""What the pages of the working drawings show, and what a drawing is called that is taken away as a file."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.text import slugify

from shopapp.common.templatetags.shop import money
from shopapp.common.words import in_shop_words
from shopapp.plans.cutting.asmade.readers import on_sheet
from shopapp.plans.models import CutSheet, KeptTimetable
from shopapp.plans.readers import shop_as_kept
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop.models import Workshop

from . import planning
from .wanted import Drawn

MONEY = "money"
_NUMBERED = re.compile(r"(parts|set-up|timetable)-([1-9][0-9]{0,3})")
_LONGEST_NAME = 60


@dataclass(frozen=True)
class File:
    """A drawing to be taken away: what its address ends in, and what it is called in a list of several."""

    name: str
    words: str


@dataclass(frozen=True)
class Shown:
    """One or several of a kind as a page shows them: ``wide`` for a table or a tablet, ``narrow`` for a phone."""

    wide: Sequence[str]
    narrow: Sequence[str]
    files: Sequence[File]


@dataclass(frozen=True)
class Kind:
    """Set-ups of one kind."""

    key: str
    words: str
    numbers: list[int]
    cautions: list[str]


class Drawings:
    """The drawings of a plan, or of a job made of it."""

    def __init__(self, drawn: Drawn, workshop: Workshop) -> None:
        """Two queries, and one more where a cut plan is kept."""
        key, plan = drawn.cutting.key, drawn.plan
        # Why nothing follows from a tile that was measured.
        self.trouble = ""
        self.sheet = CutSheet.objects.filter(key=key, plan=plan).defer("pieces").first()
        self.kept = KeptTimetable.objects.filter(key__in=(key, *drawn.before), plan=plan).first()
        record = drawn.plan.record
        shop = shop_as_kept(workshop, record)
        self.sources = planning.Sources(
            record=record,
            label=drawn.label,
            unit=workshop.unit,
            words=lambda text: in_shop_words(text, workshop.words),
            money=lambda amount: money(amount, shop),
            saw=self._saw(drawn, workshop),
            timetable=(self.kept.form, self.kept.first) if self.kept else None,
        )

    def _saw(self, drawn: Drawn, workshop: Workshop) -> planning.Saw | None:
        """The set-ups of the cut plan that counts, their stops as made where a tile was measured since."""
        if self.sheet is None:
            return None
        resaw = workshop_planning.shop_of(workshop).resaw_kerf
        saw = planning.Saw.of(self.sheet.form, self.sheet.set_ups_record, resaw)
        seen = on_sheet(drawn.cutting, self.sheet, workshop)
        self.trouble = seen.trouble
        return saw if seen.followed is None else planning.as_made(saw, seen.followed, workshop.unit)

    def laid(self, *, face_down: bool) -> Shown:
        name = "laid-face-down" if face_down else "laid"
        rooms = (planning.ON_SCREEN, planning.ON_PHONE)
        wide, narrow = (self.sources.laid(room, face_down=face_down) for room in rooms)
        return Shown([wide], [narrow], [File(name, "")])

    def parts(self) -> Shown:
        return self._several("parts", [self.sources.parts(room) for room in _ROOMS])

    def seams(self) -> Shown:
        wide, narrow = (self.sources.seams(room) for room in (planning.ON_SCREEN, planning.ON_PHONE))
        return Shown([wide], [narrow], [File("seams", "")])

    def timetable(self) -> Shown | None:
        if self.kept is None:
            return None
        return self._several("timetable", [planning.of_timetable(self.sources, room) for room in _ROOMS])

    def money(self) -> Shown:
        wide, narrow = (planning.of_money(self.sources, room) for room in (planning.ON_SCREEN, planning.ON_PHONE))
        return Shown([wide], [narrow], [File(MONEY, "")])

    def _several(self, name: str, drawn: Sequence[Sequence[str]]) -> Shown:
        wide, narrow, paper = drawn
        many = len(paper)
        files = [File(f"{name}-{n}", f"{n} of {many}" if many > 1 else "") for n in range(1, many + 1)]
        return Shown(wide, narrow, files)

    def kinds(self) -> list[Kind]:
        """Of the cut plan that counts; none without one."""
        if self.sources.saw is None:
            return []
        say = self.sources.words
        return [
            Kind(
                key,
                say(words),
                [step.number for step in steps],
                list(dict.fromkeys(say(caution.words) for step in steps for caution in step.cautions)),
            )
            for key, words, steps in planning.kinds_of(self.sources.saw)
        ]

    def set_ups(self, kind: Kind) -> Iterator[tuple[int, Shown]]:
        for number in kind.numbers:
            wide, narrow = (
                self.sources.set_up(number, room, brief=True) for room in (planning.ON_SCREEN, planning.ON_PHONE)
            )
            yield number, Shown([wide], [narrow], [File(f"set-up-{number}", "")])

    def file(self, name: str) -> str | None:
        """The drawing of that name for paper, a file of its own; None where there is none."""
        found = self._for_paper(name)
        return None if found is None else planning.on_its_own(found)

    def _for_paper(self, name: str) -> str | None:
        room, sources = planning.ON_PAPER, self.sources
        if name in ("laid", "laid-face-down"):
            return sources.laid(room, face_down=name == "laid-face-down")
        if name == "seams":
            return sources.seams(room)
        if name == MONEY:
            return planning.of_money(sources, room)
        match = _NUMBERED.fullmatch(name)
        if match is None:
            return None
        kind, number = match[1], int(match[2])
        if kind == "set-up":
            return sources.set_up(number, room, brief=False)
        some = sources.parts(room) if kind == "parts" else planning.of_timetable(sources, room)
        return some[number - 1] if number <= len(some) else None


_ROOMS = (planning.ON_SCREEN, planning.ON_PHONE, planning.ON_PAPER)


def file_name(label: str, name: str) -> str:
    """What a drawing is saved as: small letters, digits and hyphens, whatever the board is called.

    >>> file_name("Flag, drawing 1", "laid"), file_name('"; ../éé', "set-up-3"), file_name("木", "money")
    ('flag-drawing-1-laid.svg', 'ee-set-up-3.svg', 'board-money.svg')
    """
    return f"{slugify(label)[:_LONGEST_NAME].strip('-') or 'board'}-{name}.svg"
