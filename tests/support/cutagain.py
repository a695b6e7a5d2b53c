"""Parts of a job that are written down as spoiled, more of them than its plan has spares."""

from __future__ import annotations

from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.spoiled.actions import write_parts
from shopapp.jobs.spoiled.planning import alike_in


def spoiled(owner, job: Job) -> PartEntry:
    """One more of the commonest part, and all its spares the first time."""
    commonest = max(alike_in(job.plan), key=lambda one: one.planned)
    first = not job.part_entries.exists()
    count = 1 + (commonest.spares if first else 0)
    return write_parts(who=owner, job=job, kind="spoiled", part=commonest.parts[0], count=count, why="torn out")
