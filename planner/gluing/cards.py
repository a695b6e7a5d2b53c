"""One card a session: what to do in order, what comes out of the clamps when, and what stays in them overnight.

Clock times are minutes from midnight of the session's day. A page shows them for today and, of later sessions, order
and load only; both are here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from planner.gluing.steps import MINUTES_A_DAY, GlueWork, Step
from planner.gluing.terms import HANDS, Timetable


@dataclass(frozen=True, slots=True)
class Ending:
    """Something left alone is over: ``at`` the clock says so, ``ends`` what that means ("clamps off")."""

    key: str
    words: str
    ends: str
    at: int


@dataclass(frozen=True, slots=True)
class CardLine:
    """A step of the session. It takes hands from ``at`` for ``minutes``; what it leaves in clamps is over at ``off``,
    None where it stays beyond the session (then it is in ``SessionCard.overnight``) or holds nothing. ``meanwhile`` are
    the keys of steps that are begun while it holds, ``holding`` of what holds while it is done."""

    step: Step
    at: int
    minutes: int
    off: int | None
    uses: tuple[tuple[str, int], ...]
    meanwhile: tuple[str, ...]
    holding: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SessionCard:
    """``number`` counts the sessions in which something is done, from 1; ``day`` counts days from the timetable's first
    midnight. ``standing`` is what has been over since the card before and is taken out first; ``endings`` are all that
    are over in the session, whenever they were begun; ``overnight`` what stays in clamps or soaks when it closes. Clock
    times below nought are on a day before, of 1,440 and more on a day after."""

    number: int
    day: int
    opens: int
    closes: int
    standing: tuple[Ending, ...]
    lines: tuple[CardLine, ...]
    endings: tuple[Ending, ...]
    overnight: tuple[Ending, ...]
    hands_used: int
    hands_there: int
    cautions: tuple[str, ...]


def cards_of(glue: GlueWork, timetable: Timetable) -> tuple[SessionCard, ...]:
    """The cards of a timetable, in order of its sessions; those in which nothing is done have none."""
    book = _Book(glue, timetable.starts)
    cards: list[SessionCard] = []
    since = 0
    for opens, closes in glue.work.sessions:
        inside = book.begun(opens, closes)
        if inside:
            cards.append(book.card(len(cards) + 1, since, opens, closes, inside))
            since = closes
    return tuple(cards)


class _Book:
    """A timetable, looked at session by session. All times in it are slots but those of its cards."""

    def __init__(self, glue: GlueWork, starts: Sequence[int]) -> None:
        self.work, self.steps, self.starts = glue.work, glue.steps, starts
        # Jigs, clamps and places at the bench from when hands leave them until they may be taken; wood on its way or
        # settling is nothing to take out.
        self.holds = [
            (start + task.attended, start + task.span, i)
            for i, (start, task) in enumerate(zip(starts, glue.work.tasks, strict=True))
            if task.hold and (task.attended or task.uses)
        ]

    def begun(self, opens: int, closes: int) -> list[int]:
        """What takes hands in a session, in order."""
        tasks = self.work.tasks
        found = (i for i, task in enumerate(tasks) if task.attended and opens <= self.starts[i] < closes)
        return sorted(found, key=lambda i: (self.starts[i], i))

    def card(self, number: int, since: int, opens: int, closes: int, inside: list[int]) -> SessionCard:
        work, slot = self.work, self.work.slot_minutes
        day = opens * slot // MINUTES_A_DAY
        return SessionCard(
            number,
            day,
            self._clock(opens, day),
            self._clock(closes, day),
            self._endings(day, ((until, i) for _, until, i in self.holds if since < until <= opens)),
            tuple(self._line(i, closes, day, inside) for i in inside),
            self._endings(day, ((until, i) for _, until, i in self.holds if opens < until <= closes)),
            self._endings(day, ((until, i) for begun, until, i in self.holds if begun <= closes < until)),
            sum(work.tasks[i].attended for i in inside) * slot,
            (closes - opens) * work.capacity[HANDS] * slot,
            tuple(dict.fromkeys(kind for i in inside for kind in self.steps[i].cautions)),
        )

    def _clock(self, slot: int, day: int) -> int:
        return slot * self.work.slot_minutes - day * MINUTES_A_DAY

    def _endings(self, day: int, found: Iterable[tuple[int, int]]) -> tuple[Ending, ...]:
        return tuple(
            Ending(self.steps[i].key, self.steps[i].words, self.steps[i].ends, self._clock(until, day))
            for until, i in sorted(found)
        )

    def _line(self, i: int, closes: int, day: int, inside: list[int]) -> CardLine:
        task, start, starts = self.work.tasks[i], self.starts[i], self.starts
        left, until = start + task.attended, start + task.span
        return CardLine(
            self.steps[i],
            self._clock(start, day),
            task.attended * self.work.slot_minutes,
            self._clock(until, day) if task.hold and until <= closes else None,
            task.uses,
            tuple(self.steps[j].key for j in inside if j != i and task.hold and left <= starts[j] < until),
            tuple(self.steps[j].key for begun, end, j in self.holds if j != i and begun <= start < end),
        )
