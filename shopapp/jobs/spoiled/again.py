"""What is still to be cut again of several jobs, and the wood it takes, for whoever looks after wood."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from shopapp.jobs.gauged.readers import gauged_by, newest_measures
from shopapp.jobs.models import Job, PartEntry
from shopapp.jobs.needs import needs_of
from shopapp.plans.models import Plan
from shopapp.workshop.models import Workshop

from .counting import count_of
from .planning import Alike, CuttingError, Section, alike_in, as_made, record_of, still_to_cut, strips_for

Kind = PartEntry.Kind


@dataclass(frozen=True)
class Again:
    """``wanted`` are parts of one size, as they are cut now, and how many of each; ``record`` has nothing else in it.
    ``sections`` are the strips for them, none where one cannot be laid."""

    wanted: list[tuple[Alike, int]]
    record: dict
    sections: Sequence[Section] = field(default=())

    @property
    def pieces(self) -> int:
        return sum(count for _, count in self.wanted)

    @property
    def feet(self) -> dict[str, Fraction]:
        """Board feet in the rough of each wood."""
        found: dict[str, Fraction] = {}
        for one in self.sections:
            found[one.wood] = found.get(one.wood, Fraction(0)) + one.figure.value
        return found


def again_of(jobs: Sequence[Job], workshop: Workshop, plans: Mapping[int, Plan] | None = None) -> dict[int, Again]:
    """By job, where anything is; ``plans`` are the jobs' own, where they are at hand. Three queries, two with them, one
    where nothing is written down."""
    rows = PartEntry.objects.filter(job__in=[job.pk for job in jobs], undone_by=None).exclude(kind=Kind.TAKEN_BACK)
    entries: dict[int, list[PartEntry]] = {}
    plan_of = {job.pk: job.plan_id for job in jobs}
    for one in rows:
        if one.plan_id == plan_of[one.job_id]:
            entries.setdefault(one.job_id, []).append(one)
    if not entries:
        return {}
    plans = plans or Plan.objects.in_bulk({plan_of[pk] for pk in entries})
    keys = {job.pk: (job.key, job.plan_id) for job in jobs if job.pk in entries}
    measures = newest_measures(set(keys.values()))
    found = {}
    for pk, of_job in entries.items():
        plan = plans[plan_of[pk]]
        gauged = gauged_by(measures.get(keys[pk]), plan, workshop)
        wanted = [
            (as_made(one, gauged.sizes.parts) if gauged and gauged.sizes else one, left)
            for one in alike_in(plan)
            if (left := still_to_cut(one, count_of(of_job, one)))
        ]
        if wanted:
            found[pk] = Again(wanted, record_of(plan.record, wanted), _laid(wanted, workshop))
    return found


def needs_now(job: Job, workshop: Workshop) -> tuple[dict[str, Fraction], Again | None]:
    """Board feet of each wood, what is cut again with the rest, and what that is. Two queries at most."""
    needs = needs_of(job.plan)
    again = again_of([job], workshop, {job.plan_id: job.plan}).get(job.pk) if job.plan_id else None
    for wood, feet in again.feet.items() if again else ():
        needs[wood] = needs.get(wood, Fraction(0)) + feet
    return needs, again


def _laid(wanted: list[tuple[Alike, int]], workshop: Workshop) -> Sequence[Section]:
    try:
        return strips_for(wanted, workshop)
    except CuttingError:
        # The page of spoiled parts says which part is too long.
        return ()
