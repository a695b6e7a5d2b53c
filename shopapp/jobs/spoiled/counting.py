"""What stands written of a job's parts, counted by size."""

from __future__ import annotations

from collections.abc import Sequence

from shopapp.jobs.models import Job, PartEntry

from .planning import Alike, Count

Kind = PartEntry.Kind


def held(job: Job) -> list[PartEntry]:
    """Entries that count: of the job's plan as it is now, and not taken back. One query."""
    return list(PartEntry.objects.filter(job=job, plan_id=job.plan_id, undone_by=None).exclude(kind=Kind.TAKEN_BACK))


def count_of(entries: Sequence[PartEntry], alike: Alike) -> Count:
    def total(kind: str) -> int:
        return sum(one.count for one in entries if one.kind == kind and one.part in alike.parts)

    return Count(total(Kind.SPOILED), total(Kind.BESIDES), total(Kind.AGAIN))
