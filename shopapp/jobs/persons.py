"""What jobs hold of a person: what was made for them, and their name in what is told of it."""

from __future__ import annotations

from typing import Any

from shopapp.common.erasing import strike_audit, struck
from shopapp.lumber.models import Demand
from shopapp.people import loose
from shopapp.people.book import Happening, register
from shopapp.people.models import Person

from .models import Job, JobEvent, PartEntry

EXPLAINS = {
    "jobs": "What was made for them or is to be, oldest first.",
    "label": "What it is called.",
    "kind": "A gift, a commission, or for sale.",
    "for_whom": "The name it was written for.",
    "due": "The day it was promised for, as year-month-day.",
    "state": "How far it is.",
    "parts": "Why parts of it were cut again, each with its day.",
    "story": "What was told of it, each with its day.",
}


def _jobs(person: Person) -> list[Job]:
    return list(person.jobs.order_by("pk").prefetch_related("events", "part_entries"))


def history(person: Person) -> list[Happening]:
    return [
        Happening(job.created_at, f"{job.label} was begun; it is {job.get_state_display()}.", job.get_absolute_url())
        for job in _jobs(person)
    ]


def out(person: Person) -> dict[str, Any]:
    jobs = [
        {
            "label": job.label,
            "kind": job.get_kind_display(),
            "for_whom": job.for_whom,
            "due": job.due.isoformat() if job.due else None,
            "state": job.get_state_display(),
            "parts": [[one.at.date().isoformat(), one.why] for one in reversed(job.part_entries.all()) if one.why],
            "story": [[event.at.date().isoformat(), event.words] for event in reversed(job.events.all())],
        }
        for job in _jobs(person)
        if not _is_forgotten(job, person)
    ]
    return {"jobs": jobs} if jobs else {}


def _is_forgotten(job: Job, person: Person) -> bool:
    """Whether the name left it before; nothing of theirs is written in it then."""
    return person.erased_at is not None and job.for_whom in ("", str(person))


def goes(person: Person) -> list[str]:
    count = len([job for job in _jobs(person) if not _is_forgotten(job, person)])
    return [f"Their name in {count} job{'' if count == 1 else 's'} and in what is told of them."] if count else []


def forget(person: Person, instead: str) -> list[str]:
    told = goes(person)
    jobs = [job for job in _jobs(person) if not _is_forgotten(job, person)]
    names = {person.name, *(job.for_whom for job in jobs)} - {"", instead}
    for job in jobs:
        label = struck(job.label, names, instead)[:80]
        Job.objects.filter(pk=job.pk).update(label=label, for_whom=instead if job.for_whom else "")
        Demand.objects.filter(key=job.key).update(label=label)
        for event in job.events.all():
            if (words := struck(event.words, names, instead)[:400]) != event.words:
                JobEvent.objects.filter(pk=event.pk).update(words=words)
        for entry in job.part_entries.exclude(why=""):
            if (why := struck(entry.why, names, instead)[:160]) != entry.why:
                PartEntry.objects.filter(pk=entry.pk).update(why=why)
    strike_audit(jobs, names, instead)
    return told


def keeps(person: Person) -> str:
    """The book and the wood stay; a name need not."""
    return ""


def take_part() -> None:
    register("jobs", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
    loose.register("job", Job, "for_whom", _told)


def _told(one: Job) -> Happening:
    return Happening(one.created_at, f"Job: {one.label}", one.get_absolute_url())
