"""Which timetable counts for each job that is planned or begun, and what is ticked of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from django.db.models import Max, Min
from django.urls import reverse

from shopapp.jobs.models import Job
from shopapp.plans.models import KeptTimetable, StepTick
from shopapp.plans.timetable.standing import DRY, newest_ticks

from . import planning

# What was ticked longer ago has come out of its clamps.
_LATELY = timedelta(days=1)
# How long ago a timetable was kept by which something may still stand in clamps, and how many such are opened.
_KEPT = timedelta(weeks=26)
_MOST_OLDER = 12


@dataclass(frozen=True)
class Made:
    """A timetable that counts, of a job that is begun. ``boards`` are what is made by it: key, label and plan each;
    ``elsewhere`` are numbers of those for which a newer one was kept alone since. ``earlier`` are steps ticked lately
    that stood in a timetable before it."""

    job: Job
    kept: KeptTimetable
    keys: tuple[str, ...]
    ticked: Mapping[str, datetime]
    boards: list[dict]
    facts: Mapping[str, planning.StepFacts]
    elsewhere: frozenset[int] = frozenset()
    earlier: Mapping[str, planning.StepFacts] = field(default_factory=dict)

    @property
    def doing_url(self) -> str:
        return reverse("jobs:timetable_doing", args=[self.job.pk])

    @property
    def plan_url(self) -> str:
        return reverse("jobs:timetable", args=[self.job.pk])

    def board(self, number: int) -> dict:
        return self.boards[number - 1]


def made_of(jobs: list[Job], now: datetime) -> list[Made]:
    """The newest timetable of each job, with what is ticked of it. Four queries, and one where
    the rest was planned anew while something stood in clamps. One that was kept for several jobs
    together counts for each of them until one is kept for it alone."""
    oldest = dict(
        Job.objects.filter(plan__in={job.plan_id for job in jobs})
        .order_by()
        .values("plan")
        .annotate(oldest=Min("pk"))
        .values_list("plan", "oldest")
    )
    keys = {job.pk: (job.key, *((f"plan {job.plan_id}",) if oldest[job.plan_id] == job.pk else ())) for job in jobs}
    every = [key for several in keys.values() for key in several]
    newest = {
        (key, plan): pk
        for key, plan, pk in KeptTimetable.objects.filter(key__in=every)
        .order_by()
        .values("key", "plan")
        .annotate(newest=Max("pk"))
        .values_list("key", "plan", "newest")
    }
    # One that was kept for another plan, before the job was changed, does not count.
    pairs = {job.pk: [(key, job.plan_id) for key in keys[job.pk]] for job in jobs}
    counts = {
        pk: max((newest[pair] for pair in several if pair in newest), default=None) for pk, several in pairs.items()
    }
    kept = KeptTimetable.objects.in_bulk([pk for pk in counts.values() if pk is not None])
    together = [board["key"] for one in kept.values() for board in one.boards[1:]]
    ticks: dict[str, list[StepTick]] = {}
    for tick in StepTick.objects.filter(key__in=[*every, *together]).order_by("pk"):
        ticks.setdefault(tick.key, []).append(tick)
    made = []
    for job in jobs:
        found = kept.get(counts[job.pk])
        if found is not None:
            its = {*keys[job.pk], *(board["key"] for board in found.boards)}
            in_order = sorted((tick for key in its for tick in ticks.get(key, ())), key=lambda tick: tick.pk)
            newest_of = newest_ticks(in_order, keys[job.pk], found.boards)
            done = {step: tick.at for step, tick in newest_of.items() if tick.done}
            made.append(Made(job, found, keys[job.pk], done, _boards_of(job, found), planning.facts_of(found.form)))
    plans = {job.key: job.plan_id for job in jobs}
    joint = {
        board["key"]: one.kept.pk
        for one in made
        for board in one.boards[1:]
        if plans.get(board["key"], board["plan"]) == board["plan"]
    }
    alone = {one.job.key: one.kept.pk for one in made}
    counting = [one for one in made if joint.get(one.job.key, 0) < one.kept.pk]
    before = _before(counting, now)
    return [
        replace(one, elsewhere=_elsewhere(one, alone, plans), earlier=before.get(one.job.pk, {})) for one in counting
    ]


def _before(made: list[Made], now: datetime) -> dict[int, dict[str, planning.StepFacts]]:
    """By job, the steps ticked within the last day that are left out of the timetable that counts, as the last one they
    stood in says; most of what a glue-up leaves is over by then."""
    missing = {
        one.job.pk: {
            step
            for step, at in one.ticked.items()
            if now - at < _LATELY and step not in one.facts and not step.endswith(DRY)
        }
        for one in made
    }
    keys = {key: one.job.pk for one in made if missing[one.job.pk] for key in one.keys}
    found: dict[int, dict[str, planning.StepFacts]] = {}
    if keys:
        counting = [one.kept.pk for one in made]
        older = KeptTimetable.objects.filter(key__in=keys, kept_at__gte=now - _KEPT).exclude(pk__in=counting)
        for kept in reversed(older.order_by("-pk")[:_MOST_OLDER]):
            pk = keys[kept.key]
            stood = {step: facts for step, facts in planning.facts_of(kept.form).items() if step in missing[pk]}
            found.setdefault(pk, {}).update(stood)
    return found


def _elsewhere(made: Made, alone: Mapping[str, int], plans: Mapping[str, int]) -> frozenset[int]:
    """Boards for which another timetable was kept since, or that are made from another plan by now."""
    return frozenset(
        n
        for n, board in enumerate(made.boards[1:], start=2)
        if alone.get(board["key"], 0) > made.kept.pk or plans.get(board["key"], board["plan"]) != board["plan"]
    )


def _boards_of(job: Job, kept: KeptTimetable) -> list[dict]:
    """What is made by a timetable; its own board under the job's own key, also where it was kept for the bare plan."""
    return [{"key": job.key, "label": job.label, "plan": job.plan_id}, *kept.boards[1:]]
