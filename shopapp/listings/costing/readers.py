"""What a job's pieces come to, line by line: as written down where something is written, else as planned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from planner.measures import round_half_up
from shopapp.jobs.done.costs import CostLine, costs_of
from shopapp.jobs.done.madeof import supplies_used
from shopapp.jobs.done.wood import pieces_out, woods_done
from shopapp.jobs.models import Job
from shopapp.jobs.timing import timed_of
from shopapp.listings.models import PieceCost
from shopapp.lumber.looks import woods_seen
from shopapp.people.models import Member
from shopapp.plans.readers import shop_as_kept
from shopapp.schedule.log.readers import time_page
from shopapp.workshop.models import Workshop

from .planning import planned_minutes

Kind, Basis = PieceCost.Kind, PieceCost.Basis
_KINDS = {"Labour": Kind.LABOUR, "Overhead": Kind.OVERHEAD}
# A price has these in it and a piece has not: a board that is lost is written off at what it cost itself, and what a
# parcel is packed in is written down where it is packed.
_OF_THE_PRICE = ("Reserve for boards lost", "Packaging")


@dataclass(frozen=True)
class JobLine:
    """One line of what all pieces of a job cost."""

    kind: str
    name: str
    basis: str
    amount: Decimal
    minutes: int
    currency_symbol: str
    currency_exponent: int

    @property
    def key(self) -> tuple[str, str, str, str]:
        return self.kind, self.name, self.basis, self.currency_symbol


def job_lines(job: Job, shop: Workshop) -> list[JobLine]:
    """Seven queries. What was planned in another currency than the shop has now stays in its own."""
    seen = woods_seen()
    pieces, moved = pieces_out(job)
    woods = woods_done(job, pieces, moved, seen)
    time = time_page(timed_of(job), Member(role=Member.Role.OWNER))
    supplies = supplies_used(job)
    as_kept = shop_as_kept(shop, job.plan.record) if job.plan else shop
    lines = costs_of(job, woods, time, supplies, as_kept).lines
    names = {f"wood {key}": wood.name for key, wood in seen.items()}
    found = [_line(line, names, time.minutes, shop, as_kept) for line in lines if line.name not in _OF_THE_PRICE]
    return [line for line in found if line.amount or line.minutes]


def _line(line: CostLine, names: Mapping[str, str], minutes: int, shop: Workshop, as_kept: Workshop) -> JobLine:
    told = line.actual or line.planned
    kind = Kind.WOOD if line.name.startswith("wood ") else _KINDS.get(line.name, Kind.SUPPLIES)
    worked = 0
    if kind == Kind.LABOUR:
        worked = minutes if line.actual else planned_minutes(told)
    money = shop if line.actual else as_kept
    return JobLine(
        kind=kind,
        name=names.get(line.name, line.name)[:80],
        basis=Basis.WRITTEN if line.actual else Basis.PLANNED,
        amount=round_half_up(Decimal(str(told["value"][1])), money.currency_exponent),
        minutes=worked,
        currency_symbol=money.currency_symbol,
        currency_exponent=money.currency_exponent,
    )


def planned_lines(record: Mapping) -> list[tuple[str, Decimal]]:
    """What all boards of a plan were planned to cost, line by line, of what pieces carry."""
    terms = record["figures"]["cost_all"]["terms"]
    woods = len(record["woods"])
    # Two woods may be called as anything is called.
    carried = [one for at, one in enumerate(terms) if at < woods or one["name"] not in _OF_THE_PRICE]
    return [(one["name"], Decimal(one["figure"]["value"][1])) for one in carried]


def planned_hours(record: Mapping) -> int:
    """Minutes all boards of a plan were planned to take."""
    terms = record["figures"]["cost_all"]["terms"]
    labour = next((one["figure"] for one in reversed(terms) if one["name"] == "Labour"), None)
    return planned_minutes(labour) if labour else 0
