"""One card a session: what to do in order, what comes out of the clamps when, and what stays in them overnight.

Clock times are minutes from midnight of the session's day. A page shows them for today and, of later sessions, order
and load only; both are here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from planner.gluing.steps import MINUTES_A_DAY, GlueWork, Step
from planner.gluing.terms import HANDS, Task, Timetable


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
    midnight. ``endings`` are all that are over in the session, whenever they were begun; ``overnight`` what stays in
    clamps or soaks when it closes, with the minute it is over, more than a day's 1,440 on a later day."""

    number: int
    day: int
    opens: int
    closes: int
    lines: tuple[CardLine, ...]
    endings: tuple[Ending, ...]
    overnight: tuple[Ending, ...]
    hands_used: int
    hands_there: int
    cautions: tuple[str, ...]


def cards_of(glue: GlueWork, timetable: Timetable) -> tuple[SessionCard, ...]:
    """The cards of a timetable, in order of its sessions; those in which nothing is done have none."""
    tasks, starts = glue.work.tasks, timetable.starts
    cards: list[SessionCard] = []
    for opens, closes in glue.work.sessions:
        inside = sorted(
            (i for i, task in enumerate(tasks) if task.attended and opens <= starts[i] < closes),
            key=lambda i: (starts[i], i),
        )
        if inside:
            cards.append(_card(glue, starts, inside, (opens, closes), len(cards) + 1))
    return tuple(cards)


def _card(
    glue: GlueWork, starts: Sequence[int], inside: list[int], session: tuple[int, int], number: int
) -> SessionCard:
    work, steps, slot = glue.work, glue.steps, glue.work.slot_minutes
    opens, closes = session
    day = opens * slot // MINUTES_A_DAY
    midnight = day * MINUTES_A_DAY

    def clock(at: int) -> int:
        return at * slot - midnight

    # What is left alone with something of its own, from when hands leave it until it is over.
    holds = {i: (starts[i] + task.attended, starts[i] + task.span) for i, task in enumerate(work.tasks) if task.hold}
    over = [
        (until, i)
        for i, (since, until) in holds.items()
        if since < closes and opens < until <= closes and _shown(work.tasks[i])
    ]
    stays = [(until, i) for i, (since, until) in holds.items() if since <= closes < until and _shown(work.tasks[i])]
    lines = []
    for i in inside:
        task, until = work.tasks[i], starts[i] + work.tasks[i].span
        running = [j for j, (since, end) in holds.items() if since <= starts[i] < end and _shown(work.tasks[j])]
        begun = [j for j in inside if j != i and starts[i] + task.attended <= starts[j] < until] if task.hold else []
        lines.append(
            CardLine(
                steps[i],
                clock(starts[i]),
                task.attended * slot,
                clock(until) if task.hold and until <= closes else None,
                task.uses,
                tuple(steps[j].key for j in begun),
                tuple(steps[j].key for j in running if j != i),
            )
        )
    return SessionCard(
        number,
        day,
        clock(opens),
        clock(closes),
        tuple(lines),
        tuple(Ending(steps[i].key, steps[i].words, steps[i].ends, clock(until)) for until, i in sorted(over)),
        tuple(Ending(steps[i].key, steps[i].words, steps[i].ends, clock(until)) for until, i in sorted(stays)),
        sum(work.tasks[i].attended for i in inside) * slot,
        (closes - opens) * work.capacity[HANDS] * slot,
        tuple(dict.fromkeys(kind for i in inside for kind in steps[i].cautions)),
    )


def _shown(task: Task) -> bool:
    """Wood on its way or settling is nothing to take out of clamps."""
    return bool(task.uses)
