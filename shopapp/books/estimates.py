"""What the jobs of a year were planned to take, beside what they took: wood, hours, cost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.urls import reverse

from shopapp.common.woodmeasure import WoodMeasure
from shopapp.jobs.models import Job
from shopapp.jobs.needs import feet_in
from shopapp.listings.costing.readers import planned_hours, planned_lines
from shopapp.listings.models import Piece, PieceCost

from .addresses import rows_at
from .entries import Currency, Ledger
from .period import Period
from .rack.moves import USED, RackMove
from .tables import COUNT, DAY, HOURS, MONEY, WOOD, Cell, Head, Table

WORDS = (
    "Jobs whose pieces were made then. Wood is what was taken for the job less what came back, beside what its plan "
    "meant to saw; cost is without the reserve for boards lost and without packaging, which are of the price. A line "
    "of the cost with nothing written of it counts as planned, and says how much that is. Sums are over jobs that have "
    "both."
)


@dataclass(frozen=True)
class Part:
    """A row that a figure of a job is made of. ``to`` is the page that tells of it."""

    words: str
    value: Fraction | Decimal | int
    to: str
    on: date | None = None
    source: str = ""


@dataclass
class Took:
    """One job: planned and actual as their parts, None where nothing is known of it."""

    job: Job
    made: list[Part] = field(default_factory=list)
    planned: dict[str, list[Part] | None] = field(default_factory=dict)
    actual: dict[str, list[Part] | None] = field(default_factory=dict)
    as_planned: list[Part] = field(default_factory=list)

    def has_both(self, what: str) -> bool:
        return self.planned.get(what) is not None and self.actual.get(what) is not None


def estimates(ledger: Ledger, moves: Sequence[RackMove], period: Period, in_wood: WoodMeasure) -> list[Table]:
    """A table for each currency a plan was kept in. Two queries."""
    return [_table(took, period, currency, in_wood) for currency, took in taken(ledger, moves, period).items()]


def taken(ledger: Ledger, moves: Sequence[RackMove], period: Period) -> dict[Currency, list[Took]]:
    """What is known of the jobs whose pieces were made then, the shop's own currency first. Two queries."""
    made: dict[int, list[Piece]] = defaultdict(list)
    for piece in ledger.pieces.values():
        if period.holds(piece.made_on):
            made[piece.job_id].append(piece)
    jobs = Job.objects.filter(pk__in=made).select_related("plan").defer("plan__inputs").order_by("pk")
    costs: dict[int, list[PieceCost]] = defaultdict(list)
    for cost in PieceCost.objects.filter(piece__job__in=made).select_related("piece").order_by("pk"):
        costs[cost.piece.job_id].append(cost)
    used: dict[str, list[RackMove]] = defaultdict(list)
    for move in moves:
        if move.way == USED and move.wanted_by:
            used[move.wanted_by].append(move)
    by_currency: dict[Currency, list[Took]] = defaultdict(list)
    for job in jobs:
        currency, took = _took(job, made[job.pk], costs[job.pk], used[job.key], ledger.shop)
        by_currency[currency].append(took)
    return {one: by_currency[one] for one in sorted(by_currency, key=lambda one: (one != ledger.shop, one))}


def _took(
    job: Job, pieces: Sequence[Piece], costs: Sequence[PieceCost], used: Sequence[RackMove], shop: Currency
) -> tuple[Currency, Took]:  # fmt: skip
    record = job.plan.record if job.plan else None
    money = (record or {}).get("currency")
    currency = Currency(money["symbol"], money["exponent"]) if money else shop
    mine = [cost for cost in costs if Currency.of(cost) == currency]
    took = Took(job, [Part(str(one), 1, one.get_absolute_url(), one.made_on) for one in pieces])
    if record is not None:
        plan = job.plan.get_absolute_url()
        took.planned = {
            "wood": [Part(f"{job.label}: {wood['name']}", feet_in(wood["gross"]), plan) for wood in record["woods"]],
            "minutes": [Part(f"{job.label}: labour as planned", planned_hours(record), plan)],
            "cost": [Part(f"{job.label}: {name}", amount, plan) for name, amount in planned_lines(record)],
        }
    written = [cost for cost in costs if cost.basis == PieceCost.Basis.WRITTEN and cost.kind == PieceCost.Kind.LABOUR]
    used_up = [Part(move.words, -move.feet, reverse("lumber:piece", args=[move.mark]), move.on, f"entry {move.entry}")
            for move in used]  # fmt: skip
    took.actual = {
        "wood": used_up if sum(one.value for one in used_up) else None,
        "minutes": [_of_cost(cost, cost.minutes) for cost in written]
        if sum(cost.minutes for cost in written)
        else None,
        "cost": [_of_cost(cost, cost.amount) for cost in mine] if mine else None,
    }
    took.as_planned = [_of_cost(cost, cost.amount) for cost in mine if cost.basis == PieceCost.Basis.PLANNED]
    return currency, took


def _of_cost(cost: PieceCost, value: Decimal | int) -> Part:
    page = reverse("listings:cost", args=[cost.piece_id])
    return Part(f"{cost.piece}: {cost.name}", value, page, cost.on, f"cost {cost.pk}")


def _sum(parts: Sequence[Part] | None) -> Fraction | Decimal | int | None:
    return None if parts is None else sum((one.value for one in parts[1:]), parts[0].value) if parts else Decimal(0)


# What each column is made of: its kind, and the parts of a job in it; a sum of all jobs is over those ``in_sum``.
_OF = {"wood": WOOD, "minutes": HOURS, "cost": MONEY}


@dataclass(frozen=True)
class Column:
    kind: str
    parts: Callable[[Took], list[Part] | None]
    in_sum: Callable[[Took], bool] = lambda took: True


def _less(took: Took) -> list[Part] | None:
    """What it cost more than planned: its cost, less what was planned."""
    if not took.has_both("cost"):
        return None
    return [*took.actual["cost"], *(replace(one, value=-one.value) for one in took.planned["cost"])]


COLUMNS: Mapping[str, Column] = {
    "pieces": Column(COUNT, lambda took: took.made),
    **{
        f"{what}-{side}": Column(
            kind, lambda took, what=what, side=side: getattr(took, side).get(what),
            lambda took, what=what: took.has_both(what),
        )
        for what, kind in _OF.items()
        for side in ("planned", "actual")
    },
    "more": Column(MONEY, _less, lambda took: took.has_both("cost")),
    "as-planned": Column(MONEY, lambda took: None if took.actual["cost"] is None else took.as_planned),
}  # fmt: skip


def _table(jobs: Sequence[Took], period: Period, currency: Currency, in_wood: WoodMeasure) -> Table:
    heads = (
        Head("Job"), Head("Pieces", COUNT), Head(f"Wood planned, {in_wood.sign}", WOOD, f"wood planned {in_wood.name}"),
        Head(f"Wood used, {in_wood.sign}", WOOD, f"wood used {in_wood.name}"),
        Head("Hours planned", HOURS), Head("Hours written", HOURS),
        Head("Cost planned", MONEY), Head("Cost as known", MONEY), Head("More than planned", MONEY),
        Head("Of it as planned", MONEY),
    )  # fmt: skip
    table = Table("plans", f"Planned and actual, {period.words}", heads, currency, words=WORDS, in_wood=in_wood)

    def cell(value: Fraction | Decimal | int | None, what: str, job: int | str = "") -> Cell:
        return Cell(value, rows_at(period, "plans", what, currency, job=job) if value else "")

    for one in jobs:
        job = Cell(one.job.label, reverse("jobs:done", args=[one.job.pk]))
        table.add(job, *(cell(_sum(column.parts(one)), what, one.job.pk) for what, column in COLUMNS.items()))
    sums = (cell(_of_all(jobs, column), what) for what, column in COLUMNS.items())
    table.add("In all, of those with both", *sums, strong=True)
    return table


def _of_all(jobs: Sequence[Took], column: Column) -> Fraction | Decimal | int | None:
    """Nothing where no job is in the sum."""
    known = [_sum(parts) for one in jobs if column.in_sum(one) and (parts := column.parts(one)) is not None]
    return sum(known[1:], known[0]) if known else None


def opened(
    jobs: Sequence[Took], what: str, job: int | None, period: Period, currency: Currency, in_wood: WoodMeasure
) -> Table | None:
    """The parts behind a figure, of a job or of all that are in the sum; None for a column there is not."""
    column = COLUMNS.get(what)
    if column is None:
        return None
    value = {COUNT: "Pieces", WOOD: in_wood.words.capitalize(), HOURS: "Hours", MONEY: "Amount"}[column.kind]
    heads = (Head("Day", DAY), Head("What", name="what"), Head(value, column.kind), Head("Entry"))
    table = Table("plans-entries", f"{_NAMES[what]}, {period.words}", heads, currency, in_wood=in_wood)
    meant = [one for one in jobs if (column.in_sum(one) if job is None else one.job.pk == job)]
    parts = [part for one in meant for part in column.parts(one) or ()]
    for part in parts:
        table.add(part.on, Cell(part.words, part.to), part.value, part.source)
    table.add(None, "In all", _sum(parts), None, strong=True)
    return table


_NAMES = {
    "pieces": "Pieces made", "wood-planned": "Wood as planned", "wood-actual": "Wood used", "more": "More than planned",
    "minutes-planned": "Hours as planned", "minutes-actual": "Hours written down", "cost-planned": "Cost as planned",
    "cost-actual": "Cost as known", "as-planned": "Of the cost, as planned",
}  # fmt: skip
