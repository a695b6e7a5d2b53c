"""The evenings of a job that is taken up again: what is left of it is planned anew from today on."""

from __future__ import annotations

from dataclasses import dataclass, replace

from planner.errors import PlannerError
from shopapp.people.models import Member
from shopapp.plans.timetable.actions import Anew, keep_anew, planned_alone
from shopapp.plans.timetable.planning import NothingLeft
from shopapp.plans.timetable.wanted import Making

from .evenings import timetable_of
from .making import making_of_job
from .models import Job
from .words import day


@dataclass(frozen=True)
class Evenings:
    """Planned before the transaction that keeps them, for that takes a while; or in ``trouble`` why they are not."""

    making: Making
    anew: Anew | None
    trouble: str = ""


def evenings_anew(job: Job) -> Evenings | None:
    """None where no timetable was kept for it, or nothing of it is left."""
    if job.plan_id is None:
        return None
    kept, _ = timetable_of(job)
    if kept is None:
        return None
    # It is not over any more once they are kept.
    making = replace(making_of_job(job.pk), closed="")
    try:
        return Evenings(making, planned_alone(making, kept))
    except NothingLeft:
        return None
    except PlannerError as error:
        return Evenings(making, None, str(error))


def book_them(who: Member | None, evenings: Evenings | None) -> str:
    """Keep what was planned and book it; in a sentence what came of it. Part of the transaction that takes the job up
    again."""
    if evenings is None:
        return ""
    if evenings.anew is None:
        return f"Its evenings could not be planned anew: {evenings.trouble}"
    keep_anew(who=who, making=evenings.making, anew=evenings.anew)
    return f"Its evenings are planned anew, ready {day(evenings.anew.ready)}."
