"""What the jobs of a year were planned to take, beside what they took: wood, hours, cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from django.urls import reverse

from shopapp.jobs.models import Job
from shopapp.jobs.needs import feet_in
from shopapp.listings.costing.readers import planned_cost, planned_hours
from shopapp.listings.models import PieceCost

from .entries import Currency, Ledger
from .period import Period
from .rack.moves import USED, RackMove
from .tables import COUNT, FEET, HOURS, MONEY, Cell, Head, Table

WORDS = (
    "Jobs whose pieces were made then. Wood is what was taken for the job less what came back, beside what its plan "
    "meant to saw; cost is without the reserve for boards lost and without packaging, which are of the price. A line "
    "of the cost with nothing written of it counts as planned, and says how much that is. Sums are over jobs that have "
    "both."
)


@dataclass
class Took:
    """One job: planned and actual, each None where nothing is known of it."""

    job: Job
    pieces: int = 0
    planned: dict[str, Fraction | Decimal | int | None] = field(default_factory=dict)
    actual: dict[str, Fraction | Decimal | int | None] = field(default_factory=dict)
    as_planned: Decimal = Decimal(0)


def estimates(ledger: Ledger, moves: Sequence[RackMove], period: Period) -> list[Table]:
    """A table for each currency a plan was kept in. Two queries."""
    made = [piece for piece in ledger.pieces.values() if period.holds(piece.made_on)]
    found = {piece.job_id: 0 for piece in made}
    for piece in made:
        found[piece.job_id] += 1
    jobs = Job.objects.filter(pk__in=found).select_related("plan").defer("plan__inputs").order_by("pk")
    costs: dict[int, list[PieceCost]] = defaultdict(list)
    for cost in PieceCost.objects.filter(piece__job__in=found).select_related("piece").order_by("pk"):
        costs[cost.piece.job_id].append(cost)
    used: dict[str, Fraction] = defaultdict(Fraction)
    for move in moves:
        if move.way == USED and move.wanted_by:
            used[move.wanted_by] -= move.feet
    by_currency: dict[Currency, list[Took]] = defaultdict(list)
    for job in jobs:
        currency, took = _took(job, found[job.pk], costs[job.pk], used, ledger.shop)
        by_currency[currency].append(took)
    own_first = sorted(by_currency, key=lambda one: (one != ledger.shop, one))
    return [_table(by_currency[one], period, one) for one in own_first]


def _took(
    job: Job, pieces: int, costs: Sequence[PieceCost], used: Mapping[str, Fraction], shop: Currency
) -> tuple[Currency, Took]:  # fmt: skip
    record = job.plan.record if job.plan else None
    money = (record or {}).get("currency")
    currency = Currency(money["symbol"], money["exponent"]) if money else shop
    mine = [cost for cost in costs if Currency.of(cost) == currency]
    took = Took(job, pieces)
    if record is not None:
        took.planned = {
            "feet": sum((feet_in(wood["gross"]) for wood in record["woods"]), Fraction(0)),
            "minutes": planned_hours(record),
            "cost": planned_cost(record),
        }
    written = [cost for cost in costs if cost.basis == PieceCost.Basis.WRITTEN and cost.kind == PieceCost.Kind.LABOUR]
    took.actual = {
        "feet": used.get(job.key) or None,
        "minutes": sum(cost.minutes for cost in written) or None,
        "cost": sum((cost.amount for cost in mine), Decimal(0)) if mine else None,
    }
    took.as_planned = sum((cost.amount for cost in mine if cost.basis == PieceCost.Basis.PLANNED), Decimal(0))
    return currency, took


def _table(jobs: Sequence[Took], period: Period, currency: Currency) -> Table:
    heads = (
        Head("Job"), Head("Pieces", COUNT), Head("Wood planned, bf", FEET, "wood planned bf"),
        Head("Wood used, bf", FEET, "wood used bf"), Head("Hours planned", HOURS), Head("Hours written", HOURS),
        Head("Cost planned", MONEY), Head("Cost as known", MONEY), Head("More than planned", MONEY),
        Head("Of it as planned", MONEY),
    )  # fmt: skip
    table = Table("plans", f"Planned and actual, {period.words}", heads, currency, words=WORDS)
    for one in jobs:
        job = Cell(one.job.label, reverse("jobs:done", args=[one.job.pk]))
        pairs = [(one.planned.get(what), one.actual.get(what)) for what in ("feet", "minutes", "cost")]
        planned, actual = pairs[2]
        more = actual - planned if planned is not None and actual is not None else None
        as_planned = None if actual is None else one.as_planned
        table.add(job, one.pieces, *pairs[0], *pairs[1], planned, actual, more, as_planned)
    both = {what: _both(jobs, what) for what in ("feet", "minutes", "cost")}
    planned, actual = both["cost"]
    more = None if planned is None else actual - planned
    as_planned = sum((one.as_planned for one in jobs), Decimal(0))
    table.add(
        "In all, of those with both", sum(one.pieces for one in jobs), *both["feet"], *both["minutes"], planned, actual,
        more, as_planned, strong=True,
    )  # fmt: skip
    return table


def _both(jobs: Sequence[Took], what: str) -> tuple:
    """Planned and actual of the jobs that have both; nothing where none has."""
    pairs = [(one.planned.get(what), one.actual.get(what)) for one in jobs]
    known = [pair for pair in pairs if None not in pair]
    return tuple(map(sum, zip(*known, strict=True))) if known else (None, None)
