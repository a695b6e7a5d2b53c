"""What a piece was made of: lots of wood, what was glued and finished with. It can be told years later."""

from __future__ import annotations

import json
from dataclasses import dataclass

from shopapp.jobs.evenings import keys_before
from shopapp.jobs.models import Job
from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import SupplyEntry
from shopapp.plans.models import KeptTimetable

from .wood import LotUsed, lots_used, pieces_out


@dataclass(frozen=True)
class MadeOf:
    """``adhesive`` and ``finish`` are those its timetable went by, "" where none was kept; ``supplies`` what was
    written down as used for it."""

    lots: list[LotUsed]
    adhesive: str
    finish: str
    assumed: list[str]
    supplies: list[SupplyEntry]

    @property
    def is_known(self) -> bool:
        return bool(self.lots or self.adhesive or self.supplies)


def made_of(job: Job) -> MadeOf:
    """Seven queries at most."""
    pieces, _ = pieces_out(job)
    adhesive, finish, assumed = materials_of(job)
    return MadeOf(lots_used(pieces, woods_seen()), adhesive, finish, assumed, supplies_used(job))


def materials_of(job: Job) -> tuple[str, str, list[str]]:
    """Names of the glue and the finish of the newest timetable, and which of them were assumed. Two queries."""
    if job.plan_id is None:
        return "", "", []
    kept = KeptTimetable.objects.filter(key__in=(job.key, *keys_before(job)), plan=job.plan_id).first()
    if kept is None:
        return "", "", []
    about = json.loads(kept.form)
    return about.get("adhesive", ""), about.get("finish", ""), about.get("assumed", [])


def supplies_used(job: Job) -> list[SupplyEntry]:
    """Entries of consumables used for the job that were not undone. One query."""
    entries = SupplyEntry.objects.filter(demand__key=job.key, kind=SupplyEntry.Kind.USED, undone_by=None)
    return list(entries.select_related("supply").order_by("on", "pk"))
