"""Sanding and finishing: grits, coats and waits by the finish's own record, what is used up by the plan's."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from shopapp.plans.models import KeptTimetable
from shopapp.plans.wood.planning import USUAL_GRITS
from shopapp.workshop.models import Finish
from shopapp.workshop.readers import finishes

from .minding import Minding, minding
from .told import Told

# The grain is raised after this grit (common practice, no source).
RAISED_AFTER = 120
_BOUND = ("name", "source", "raisings", "raised_dries", "coats", "soak", "wipe_within", "recoat", "cure")


@dataclass(frozen=True)
class FinishStep:
    """``wait`` is what has to pass after it, "" for nothing."""

    words: str
    wait: str = ""


@dataclass(frozen=True)
class Used:
    name: str
    amount: Mapping
    assumed: bool


@dataclass(frozen=True)
class Finishing:
    """``source`` is the data sheet the finish's times are from, "" while they are assumptions."""

    finish: str
    source: str
    grits: tuple[int, ...]
    steps: tuple[FinishStep, ...]
    cure: str
    used: tuple[Used, ...]
    minding: tuple[Minding, ...]


def finish_now(timetable: KeptTimetable | None) -> dict[str, object]:
    """What a book binds of a finish: the one its timetable goes by, or the first in use where none is kept. At most
    two queries."""
    choice = timetable.wishes.get("finish", "") if timetable else ""
    row = Finish.objects.filter(pk=int(choice)).first() if choice.isdigit() else None
    row = row or finishes()[0]
    return {name: getattr(row, name) for name in _BOUND}


def finishing_of(told: Told) -> Finishing:
    finish = Finish(**(told.book.seen.get("finish") or finish_now(told.timetable)))
    return Finishing(
        finish=finish.name,
        source=finish.source,
        grits=USUAL_GRITS,
        steps=tuple(_steps(finish)),
        cure="" if finish.cure is None else time_words(finish.cure),
        used=tuple(Used(line.name, line.used, line.assumed) for line in told.view.wood.supplies()),
        minding=minding(told, "sanding", "finishing"),
    )


def _steps(finish: Finish) -> Iterator[FinishStep]:
    before, after = ([grit for grit in USUAL_GRITS if (grit <= RAISED_AFTER) is early] for early in (True, False))
    if not finish.raisings:
        yield FinishStep(f"Sand both faces: {_listed(USUAL_GRITS)}. Dust off between grits.")
    else:
        yield FinishStep(f"Sand both faces: {_listed(before)}. Dust off between grits.")
    for n in range(1, finish.raisings + 1):
        yield FinishStep("Wet both faces with water to raise the grain.", f"{time_words(finish.raised_dries)} to dry")
        last = n == finish.raisings
        yield FinishStep(f"Sand off what was raised{f': {_listed(after)}' if last else ', no coarser than before'}.")
    for coat in range(1, finish.coats + 1):
        said = f"Coat {coat} of {finish.coats}"
        yield FinishStep(f"{said}: dust off, lay it on.", f"{time_words(finish.soak)} to soak")
        within = f"{said}: wipe off and buff, no later than {time_words(finish.wipe_within)} after it was laid on."
        yield FinishStep(within, f"{time_words(finish.recoat)} to the next coat" if coat < finish.coats else "")


def _listed(grits: Sequence[int]) -> str:
    *others, last = map(str, grits)
    return f"{', '.join(others)} and {last}" if others else last


def time_words(minutes: int) -> str:
    """Minutes as one would say them; days from three on.

    >>> [time_words(minutes) for minutes in (45, 90, 120, 1440, 4320)]
    ['45 min', '90 min', '2 h', '24 h', '3 days']
    """
    if minutes % (24 * 60) == 0 and minutes >= 3 * 24 * 60:
        return f"{minutes // (24 * 60)} days"
    return f"{minutes} min" if minutes % 60 else f"{minutes // 60} h"
