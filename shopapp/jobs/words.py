"""What is told of a job, in sentences: what it is, what was changed of it, how far it came."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from django.utils.dateformat import format as format_day

from .models import Job

if TYPE_CHECKING:
    from .actions import JobFacts

State = Job.State
_MARKS_TOLD = 12
_KINDS = {
    Job.Kind.GIFT: "a gift",
    Job.Kind.COMMISSION: "a commission",
    Job.Kind.SALE: "a piece for sale",
    Job.Kind.REPAIR: "a repair",
    Job.Kind.REMAKE: "a remake",
    Job.Kind.COMPLAINT: "a complaint",
}

_WAYS = {
    "": "It gets there as is usual for its kind.",
    Job.Way.HAND: "It is handed over in person now.",
    Job.Way.CARRIER: "It goes by carrier now.",
}


def kind_said(facts: JobFacts) -> str:
    kind = _KINDS[Job.Kind(facts.kind)]
    if facts.of is not None:
        kind = f"{kind} of {facts.of.label}, {Job.Settled(facts.settled).label}"
    return f"{kind}, for {facts.for_whom}" if facts.for_whom else kind


def due_said(due: date | None) -> str:
    return f", due {day(due)}" if due else ""


def day(on: date) -> str:
    return format_day(on, "j M Y")


def changes_said(job: Job, facts: JobFacts) -> list[str]:
    told = []
    if facts.label != job.label:
        told.append(f"{job.label} is called {facts.label} now.")
    kinds = (facts.kind, facts.for_whom, facts.of, facts.settled)
    if kinds != (job.kind, job.for_whom, job.of, job.settled):
        told.append(f"It is {kind_said(facts)} now.")
    if facts.person != job.person:
        whom = facts.person or "nobody"
        told.append(f"It stands with {whom} in the book of people.")
    if facts.due != job.due:
        told.append(f"It is due {day(facts.due)} now." if facts.due else "It is due on no day now.")
    if facts.way != job.way:
        told.append(_WAYS[facts.way])
    if facts.plan != job.plan:
        told.append(f"Its plan is {facts.plan.title}, plan {facts.plan.pk}." if facts.plan else "It has no plan now.")
    return told


def marks_said(marks: list[str]) -> str:
    return ", ".join(marks[:_MARKS_TOLD]) + (f" and {len(marks) - _MARKS_TOLD} more" * (len(marks) > _MARKS_TOLD))


def moved_said(job: Job, before: str) -> str:
    if job.state == State.PLANNED:
        return f"{job.label} is planned again."
    if job.state == State.UNDER_WAY and before == State.FINISHED:
        return f"{job.label} is not finished after all."
    if job.state == State.FINISHED and before == State.HANDED_OVER:
        return f"{job.label} was not handed over after all."
    if job.state == State.HANDED_OVER:
        return f"{job.label} was handed over{f' to {job.for_whom}' if job.for_whom else ''}."
    return f"{job.label} is {job.get_state_display()}."
