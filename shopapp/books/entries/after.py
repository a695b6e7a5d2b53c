"""Entries of work that made no piece: repairs and complaints. Wood by the rack's moves, what was used up by the shelf's
entries, hours by the log, at the shop's rates of today."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from django.utils import timezone

from planner.measures import round_half_up
from shopapp.jobs.models import Job
from shopapp.listings.models import PieceCost
from shopapp.lumber.models import StockMove, SupplyEntry
from shopapp.lumber.stock.ledger import account_of_key
from shopapp.schedule.models import TimeEntry
from shopapp.workshop.models import Workshop

from .entry import Currency, Entry

Kind = PieceCost.Kind


def of_work_after(shop: Workshop) -> Iterator[Entry]:
    """Four queries, one where there is no such job."""
    jobs = Job.objects.filter(kind__in=(Job.Kind.REPAIR, Job.Kind.COMPLAINT), pieces=None).only("pk", "label")
    by_key = {job.key: job for job in jobs}
    if by_key:
        currency = Currency.of(shop)
        yield from _wood(by_key, currency)
        yield from _used(by_key, currency)
        yield from _hours(by_key, currency, shop)


def _entry(job: Job, currency: Currency, **about: object) -> Entry:
    return Entry(line="after", currency=currency, to=("jobs:job", job.pk), **about)


def _wood(by_key: dict[str, Job], currency: Currency) -> Iterator[Entry]:
    accounts = {account_of_key(key): job for key, job in by_key.items()}
    moves = StockMove.objects.select_related("entry", "piece").defer("before", "after").order_by("pk")
    for sign, side in ((1, "went_to"), (-1, "came_from")):
        for move in moves.filter(**{f"{side}__in": list(accounts)}):
            job = accounts[getattr(move, side)]
            words = f"{job.label}: {move.piece.mark}{'' if sign > 0 else ' came back'}"
            on = timezone.localdate(move.entry.at)
            yield _entry(job, currency, on=on, amount=sign * move.worth, words=words, source=f"move {move.pk}",
                         part=Kind.WOOD)  # fmt: skip


def _used(by_key: dict[str, Job], currency: Currency) -> Iterator[Entry]:
    rows = SupplyEntry.objects.filter(demand__key__in=list(by_key), undone_by=None, kind=SupplyEntry.Kind.USED)
    for row in rows.select_related("demand", "supply").order_by("pk"):
        job = by_key[row.demand.key]
        yield _entry(job, currency, on=row.on, amount=-row.worth, words=f"{job.label}: {row.supply.name}",
                     source=f"used {row.pk}", part=Kind.SUPPLIES)  # fmt: skip


def _hours(by_key: dict[str, Job], currency: Currency, shop: Workshop) -> Iterator[Entry]:
    rows = TimeEntry.objects.filter(key__in=list(by_key), kind=TimeEntry.Kind.WORKED, mended_by=None)
    for row in rows.order_by("pk"):
        job, hours = by_key[row.key], Fraction(row.minutes, 60)
        for part, rate in ((Kind.LABOUR, shop.hour), (Kind.OVERHEAD, shop.overhead_hour)):
            amount: Decimal = round_half_up(hours * Fraction(rate), shop.currency_exponent)
            minutes = row.minutes if part == Kind.LABOUR else 0
            if amount or minutes:
                yield _entry(job, currency, on=row.on, amount=amount, words=f"{job.label}: {part.label}",
                             source=f"time {row.pk}", part=part, minutes=minutes)  # fmt: skip
