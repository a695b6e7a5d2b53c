"""The newest measure of what is made, and the sizes that follow from it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import F
from django.urls import reverse

from planner.errors import PlannerError
from shopapp.jobs.models import Job
from shopapp.plans.models import Plan, TileMeasured
from shopapp.workshop.models import Workshop

from .planning import Sizes, sizes_of


@dataclass(frozen=True)
class Gauged:
    """``sizes`` is None where nothing follows from the ``measure``, and ``trouble`` says why."""

    measure: TileMeasured
    sizes: Sizes | None
    trouble: str = ""


def newest_measures(wanted: Collection[tuple[str, int]]) -> dict[tuple[str, int], TileMeasured]:
    """By key and plan, what was measured last of the tiles cut for them. One query."""
    rows = TileMeasured.objects.filter(sheet__key__in={key for key, _ in wanted}).order_by("pk")
    found = {(row.key, row.plan): row for row in rows.annotate(key=F("sheet__key"), plan=F("sheet__plan"))}
    return {pair: found[pair] for pair in wanted if pair in found}


def gauged_by(measure: TileMeasured | None, plan: Plan, workshop: Workshop) -> Gauged | None:
    """No query."""
    if measure is None:
        return None
    try:
        return Gauged(measure, sizes_of(plan, measure, workshop))
    except PlannerError as error:
        return Gauged(measure, None, str(error))


def gauged_of(job: Job, workshop: Workshop) -> Gauged | None:
    """None where nothing was measured. One query, none without a plan."""
    if job.plan_id is None:
        return None
    mine = (job.key, job.plan_id)
    return gauged_by(newest_measures([mine]).get(mine), job.plan, workshop)


def address_of(job: Job, gauged: Gauged | None) -> str:
    """The page where it was measured."""
    return "" if gauged is None else reverse("jobs:cut_as_made", args=[job.pk, gauged.measure.sheet_id])
