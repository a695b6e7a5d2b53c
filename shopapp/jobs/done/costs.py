"""Planned cost lines against what was written down; the owner's alone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from planner.measures import round_half_up
from shopapp.jobs.models import Job
from shopapp.lumber.models import Supply, SupplyEntry
from shopapp.schedule.log.readers import TimePage
from shopapp.workshop.models import Workshop

from . import sums
from .wood import WoodDone

_SUPPLIES = {Supply.Kind.GLUE: "Glue", Supply.Kind.ABRASIVE: "Abrasives", Supply.Kind.FINISH: "Finish"}
_OTHER = "Other things used up"


@dataclass(frozen=True)
class CostLine:
    """``planned`` and ``actual`` are figures of money; None where the plan has no such line, or nothing is written."""

    name: str
    planned: Mapping | None
    actual: Mapping | None


@dataclass(frozen=True)
class Costs:
    """Sums are over lines that have both, so that like is held against like."""

    lines: list[CostLine]
    compared: int
    planned: Decimal
    actual: Decimal
    other_currency: bool

    @property
    def more(self) -> Decimal:
        return self.actual - self.planned


def costs_of(
    job: Job, woods: Sequence[WoodDone], time: TimePage, supplies: Sequence[SupplyEntry], shop: Workshop
) -> Costs:
    """No query."""
    actual = _actual(woods, time, supplies, shop)
    planned, other = _planned(job, shop)
    names = [*planned, *(name for name in actual if name not in planned)]
    lines = [CostLine(name, planned.get(name), actual.get(name)) for name in names]
    both = [line for line in lines if line.planned and line.actual]
    return Costs(lines, len(both), _sum(line.planned for line in both), _sum(line.actual for line in both), other)


def _sum(figures) -> Decimal:
    return sum((Decimal(str(one["value"][1])) for one in figures), Decimal(0))


def _planned(job: Job, shop: Workshop) -> tuple[dict[str, Mapping], bool]:
    if job.plan is None:
        return {}, False
    record = job.plan.record
    if record.get("currency", {}).get("symbol", shop.currency_symbol) != shop.currency_symbol:
        return {}, True
    lines: dict[str, Mapping] = {}
    for at, term in enumerate(record["figures"]["cost_all"]["terms"]):
        # The first lines are the woods, in the order of the record; two may have one name.
        name = f"wood {record['woods'][at]['wood']}" if at < len(record["woods"]) else term["name"]
        lines[name] = term["figure"]
    return lines, False


def _actual(
    woods: Sequence[WoodDone], time: TimePage, supplies: Sequence[SupplyEntry], shop: Workshop
) -> dict[str, Mapping]:
    found: dict[str, Mapping] = {}
    for one in woods:
        # What lies uncut has cost nothing yet: it comes back as it was.
        if cut := [out for out in one.pieces if not out.lies]:
            terms = [sums.amount(out.piece.mark, out.worth, "worth taken − worth that came back") for out in cut]
            rule = "what its pieces that were cut were worth when they were taken, less what came back of them"
            found[f"wood {one.wood.wood}"] = sums.money(sum((out.worth for out in cut), Decimal(0)), rule, terms)
    for entry in supplies:
        name = _SUPPLIES.get(entry.supply.kind, _OTHER)
        before = found.get(name)
        terms = [
            *(before["terms"] if before else []),
            sums.amount(f"{entry.supply.name}, {entry.on:%d %b}", -entry.worth),
        ]
        worth = (Decimal(before["value"][1]) if before else Decimal(0)) - entry.worth
        found[name] = sums.money(worth, "what was written down as used, at the shelf’s moving average", terms)
    if time.minutes:
        found["Labour"] = _by_hours(time, shop.hour, "the maker’s hour", shop)
        found["Overhead"] = _by_hours(time, shop.overhead_hour, "overhead an hour", shop)
    return found


def _by_hours(time: TimePage, rate: Decimal, words: str, shop: Workshop) -> Mapping:
    cost = round_half_up(Fraction(time.minutes, 60) * Fraction(rate), shop.currency_exponent)
    terms = [sums.told("Written down", time.written), sums.amount(words.capitalize(), rate, "as it is set now")]
    return sums.money(cost, f"hours written down × {words}", terms)


def wood_names(woods: Sequence[WoodDone]) -> dict[str, str]:
    return {f"wood {one.wood.wood}": one.wood.name for one in woods}
