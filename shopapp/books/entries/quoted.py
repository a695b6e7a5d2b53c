"""Repairs that came by a quote: earned on the day they are handed over, for what was agreed, as a commission is; what
an invoice or a credit note makes of it since counts on its own day."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils import timezone

from shopapp.jobs.models import Job, JobEvent
from shopapp.payments.deals import DealLine
from shopapp.payments.models import Account, CreditNote, Invoice
from shopapp.payments.planning import Sums, sums_of_lines

from .entry import Currency, Entry
from .invoices import QUOTED

NOTHING = Sums(Decimal(0), Decimal(0), Decimal(0))
_MENDED = (Job.Kind.REPAIR, Job.Kind.COMPLAINT)


@dataclass(frozen=True)
class Earned:
    """By how much one row, ``source``, changed what a handed over repair brought."""

    on: date
    sums: Sums
    account: str
    currency: Currency
    words: str
    to: tuple[str, int]
    source: str

    def entries(self) -> Iterator[Entry]:
        about = {"on": self.on, "currency": self.currency, "words": self.words, "to": self.to, "source": self.source}
        yield Entry(line="invoiced", amount=self.sums.net, **about)
        if self.sums.tax:
            yield Entry(line="tax", amount=self.sums.tax, **about)


@dataclass(frozen=True)
class _Paper:
    on: date
    invoice: Invoice
    row: Invoice | CreditNote
    sums: Sums


def earned_by_quotes(
    invoices: Sequence[Invoice], notes: Sequence[CreditNote], sold: Collection[str]
) -> list[Earned]:  # fmt: skip
    """``sold`` are the accounts that sales of pieces are paid on: those count as sales. One query, three where there is
    such a job."""
    rows = Job.objects.filter(kind__in=_MENDED).exclude(quote=None).order_by("pk")
    jobs = {f"{QUOTED}{job.quote_id}": job for job in rows if f"{QUOTED}{job.quote_id}" not in sold}
    if not jobs:
        return []
    events: dict[int, list[JobEvent]] = defaultdict(list)
    for event in JobEvent.objects.filter(job__in=jobs.values()).order_by("pk"):
        events[event.job_id].append(event)
    papers = _papers(invoices, notes)
    found: list[Earned] = []
    for account in Account.objects.filter(key__in=jobs).order_by("pk"):
        job = jobs[account.key]
        found += _of_one(account, job, events[job.pk], papers.get(account.pk, []))
    return found


def _papers(invoices: Sequence[Invoice], notes: Sequence[CreditNote]) -> Mapping[int, list[_Paper]]:
    by_pk = {one.pk: one for one in invoices}
    found: dict[int, list[_Paper]] = defaultdict(list)
    for one in invoices:
        found[one.account_id].append(_Paper(one.dated, one, one, Sums(one.net, one.tax_sum, one.gross)))
    for note in notes:
        invoice = by_pk[note.invoice_id]
        found[invoice.account_id].append(_Paper(note.dated, invoice, note, Sums(-note.net, -note.tax_sum, -note.gross)))
    return found


def _of_one(
    account: Account, job: Job, events: Sequence[JobEvent], papers: Sequence[_Paper]
) -> Iterator[Earned]:  # fmt: skip
    """What is owed for it as it stood after each row, while it is handed over; yields the differences."""
    happened: list[tuple[date, int, int, JobEvent | _Paper]] = [(one.on, 0, at, one) for at, one in enumerate(papers)]
    happened += [(timezone.localdate(one.at), 1, at, one) for at, one in enumerate(events)]
    agreed, out, known, counted = _agreed(account), False, [], NOTHING
    for on, _, _, row in sorted(happened, key=lambda one: one[:3]):
        if isinstance(row, JobEvent):
            out = row.state == Job.State.HANDED_OVER
            words, to, source = _said(account, out), ("jobs:job", job.pk), f"job event {row.pk}"
        else:
            known.append(row)
            credit = isinstance(row.row, CreditNote)
            to = ("payments:credit_note" if credit else "payments:invoice", row.row.pk)
            words, source = f"{row.row}: {account.label}", f"{'credit note' if credit else 'invoice'} {row.row.pk}"
        now = _owed(agreed, known) if out else NOTHING
        more = _less(now, counted)
        counted = now
        if more != NOTHING:
            yield Earned(on, more, account.key, Currency.of(account), words, to, source)


def _said(account: Account, out: bool) -> str:
    return f"{account.label}, handed over" if out else f"{account.label} was not handed over after all"


def _agreed(account: Account) -> Sums:
    lines = [DealLine(words, count, Decimal(each)) for words, count, each in json.loads(account.lines)]
    exponent = account.currency_exponent
    sums = sums_of_lines(lines, account.tax, account.tax_included, exponent, carriage=account.carriage)
    return Sums(sums.net, sums.tax, sums.gross)


def _owed(agreed: Sums, papers: Sequence[_Paper]) -> Sums:
    """What was agreed, until an invoice for all of it or for the rest stands and says otherwise."""
    asked = NOTHING
    by_invoice: dict[int, Decimal] = defaultdict(Decimal)
    for one in papers:
        asked = Sums(asked.net + one.sums.net, asked.tax + one.sums.tax, asked.gross + one.sums.gross)
        if one.invoice.kind != Invoice.Kind.DEPOSIT:
            by_invoice[one.invoice.pk] += one.sums.gross
    return asked if any(by_invoice.values()) or asked.gross > agreed.gross else agreed


def _less(now: Sums, before: Sums) -> Sums:
    return Sums(now.net - before.net, now.tax - before.tax, now.gross - before.gross)
