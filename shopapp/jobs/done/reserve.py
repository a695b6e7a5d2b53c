"""The reserve for boards lost: what prices of sold boards kept for it, and what was made again or mended out of it.

A board sold has in its plan's cost a line for boards lost; that is what its price kept, whatever it was sold for. What
was used is what is written down of finished work that is settled against the reserve.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from django.core.cache import cache
from django.db.models import Count, Q, Sum

from planner.measures import round_half_up
from shopapp.jobs.actions import DONE
from shopapp.jobs.models import Job
from shopapp.lumber.models import StockPiece, SupplyEntry
from shopapp.plans.cutting.doing.balance import moves_of
from shopapp.plans.models import Plan
from shopapp.schedule.models import TimeEntry
from shopapp.workshop.models import Workshop

from . import sums

# The line of a plan's cost that is put by, as it is called there.
LINE = "Reserve for boards lost"
_A_DAY = 24 * 3600
_NOUGHT = Decimal(0)


@dataclass(frozen=True)
class Reserve:
    """Figures of money. ``unknown`` are sold jobs of which no plan says what was put by, in this currency."""

    kept: Mapping
    used: Mapping
    left: Mapping
    unknown: list[str]

    @property
    def is_overdrawn(self) -> bool:
        return Decimal(self.left["value"][1]) < 0


def reserve_of(shop: Workshop) -> Reserve:
    """Eight queries at most, however many jobs there are."""
    kept_terms, unknown = _kept(shop)
    used_terms = _used(shop)
    kept = sums.money(_sum(kept_terms), "of every board sold, what its plan's cost puts by for boards lost", kept_terms)
    used = sums.money(_sum(used_terms), "what is written down of finished work settled against the reserve", used_terms)
    both = [sums.told("Kept by prices", kept), sums.told("Used", used)]
    return Reserve(kept, used, sums.money(_sum(kept_terms) - _sum(used_terms), "kept − used", both), unknown)


def _sum(terms: Sequence[Mapping]) -> Decimal:
    return sum((Decimal(term["figure"]["value"][1]) for term in terms), _NOUGHT)


def _kept(shop: Workshop) -> tuple[list[Mapping], list[str]]:
    """A term for every job of which boards are sold. Two queries, three where a plan was not read before."""
    sold = Job.objects.annotate(sold=Count("pieces", filter=Q(pieces__sale__isnull=False))).filter(sold__gt=0)
    jobs = list(sold.select_related("plan").defer("plan__inputs", "plan__result").order_by("pk"))
    put_by = _put_by({job.plan for job in jobs if job.plan})
    terms, unknown = [], []
    for job in jobs:
        line = put_by.get(job.plan_id)
        if line is None or line["symbol"] != shop.currency_symbol:
            unknown.append(job.label)
            continue
        whole = Decimal(line["figure"]["value"][1])
        share = round_half_up(Fraction(whole) * job.sold / line["boards"], shop.currency_exponent)
        name = f"{job.label}, {job.sold} of {line['boards']} sold" if line["boards"] > 1 else job.label
        figure = sums.money(share, "of all its boards × those sold ÷ all", [sums.told(LINE, line["figure"])])
        terms.append(sums.told(name, figure if line["boards"] > 1 else line["figure"]))
    return terms, unknown


def _put_by(plans: set[Plan]) -> dict[int, dict | None]:
    """By plan, the figure of its reserve, for how many boards it is and in which currency; a plan never changes."""
    keys = {f"reserve:{plan.sha256}": plan.pk for plan in plans}
    found = {keys[key]: line for key, line in cache.get_many(keys).items()}
    for plan in Plan.objects.filter(pk__in=set(keys.values()) - set(found)).only("result", "sha256"):
        record = plan.record
        terms = record["figures"].get("cost_all", {}).get("terms", ())
        figure = next((term["figure"] for term in terms if term["name"] == LINE), None)
        line = figure and {
            "figure": figure,
            "boards": record["spec"]["quantity"],
            "symbol": record.get("currency", {}).get("symbol", ""),
        }
        found[plan.pk] = line
        cache.set(f"reserve:{plan.sha256}", line, _A_DAY)
    return found


def _used(shop: Workshop) -> list[Mapping]:
    """A term for every finished job that is settled against the reserve, each opening what it took. Five queries."""
    jobs = list(Job.objects.filter(settled=Job.Settled.RESERVE, state__in=DONE).order_by("pk"))
    keys = [job.key for job in jobs]
    wood: dict[str, list] = {}
    pieces = list(
        StockPiece.objects.filter(demand__key__in=keys, state=StockPiece.State.TAKEN).select_related("demand")
    )
    moved = moves_of(pieces)
    for piece in sorted(pieces, key=lambda one: one.mark):
        worth = moved.taken.get(piece.pk, _NOUGHT) - sum((one.worth for one in moved.back.get(piece.pk, ())), _NOUGHT)
        term = sums.amount(piece.mark, worth, "worth taken − worth that came back")
        wood.setdefault(piece.demand.key, []).append(term)
    supplies: dict[str, list] = {}
    entries = SupplyEntry.objects.filter(demand__key__in=keys, kind=SupplyEntry.Kind.USED, undone_by=None)
    for entry in entries.select_related("supply", "demand").order_by("on", "pk"):
        supplies.setdefault(entry.demand.key, []).append(sums.amount(entry.supply.name, -entry.worth))
    counted = TimeEntry.objects.filter(key__in=keys, mended_by=None).exclude(kind=TimeEntry.Kind.TAKEN_BACK)
    minutes = dict(counted.order_by().values_list("key").annotate(Sum("minutes")))
    return [_took(job, wood, supplies, minutes.get(job.key, 0), shop) for job in jobs]


def _took(job: Job, wood: Mapping, supplies: Mapping, minutes: int, shop: Workshop) -> Mapping:
    terms = [*wood.get(job.key, ()), *supplies.get(job.key, ())]
    for name, rate in (("Labour", shop.hour), ("Overhead", shop.overhead_hour)):
        if minutes:
            cost = round_half_up(Fraction(minutes, 60) * Fraction(rate), shop.currency_exponent)
            each = sums.amount("An hour", rate, "as it is set now")
            terms.append(sums.told(f"{name}, {minutes} min", sums.money(cost, "hours written down × an hour", [each])))
    return sums.told(job.label, sums.money(_sum(terms), "what is written down of it, added up", terms))
