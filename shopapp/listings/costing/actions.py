"""What pieces cost is written down: once when they are numbered, then the difference whenever it is known better."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from shopapp.common.actions import write_audit
from shopapp.jobs.models import Job
from shopapp.listings.models import Piece, PieceCost
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop

from .planning import dealt, dealt_minutes
from .readers import JobLine, job_lines

Spend = Callable[[], None]
FIRST = "its share of what its job cost"
BETTER = "known better since"


@dataclass
class _Row:
    """What stands written of one line of a piece, and what it comes to by now."""

    line: JobLine
    amount: Decimal = Decimal(0)
    minutes: int = 0


def write_costs(*, who: Member | None, pieces: Sequence[Piece]) -> list[PieceCost]:
    """Share what each job cost over all its pieces, to the coin, and write what is not written yet. Of a piece that has
    its costs already only differences are written, dated today; the first are dated the day it was made. To be called
    in the transaction that numbers them. Nine queries a job."""
    owner_only(who)
    with transaction.atomic():
        jobs = Job.objects.select_for_update(of=("self",)).select_related("plan")
        found = jobs.filter(pk__in={piece.job_id for piece in pieces}).order_by("pk")
        return [row for job in found for row in _write(who, job)]


def write_difference(*, who: Member | None, job: Job, spend: Spend = lambda: None) -> list[PieceCost]:
    """The same of the job's pieces, asked for by the maker: what it cost is known better now."""
    owner_only(who)
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan").get(pk=job.pk)
        rows = _write(who, job)
        if rows:
            pieces = len({row.piece_id for row in rows})
            told = "1 piece" if pieces == 1 else f"{pieces} pieces"
            write_audit(who, f"What {told} of {job.label} cost was written down as it is known now.", job)
        return rows


def differences(job: Job) -> list[PieceCost]:
    """What ``write_difference`` would write, unsaved."""
    return _rows(None, job)


def _write(who: Member | None, job: Job) -> list[PieceCost]:
    return PieceCost.objects.bulk_create(_rows(who, job))


def _rows(who: Member | None, job: Job) -> list[PieceCost]:
    pieces = list(job.pieces.order_by("number").prefetch_related("costs"))
    if not pieces:
        return []
    lines, today = job_lines(job, the_workshop()), timezone.localdate()
    shares = [
        list(zip(dealt(line.amount, len(pieces), line.currency_exponent), dealt_minutes(line.minutes, len(pieces)),
                 strict=True))
        for line in lines
    ]  # fmt: skip
    rows: list[PieceCost] = []
    for at, piece in enumerate(pieces):
        target = {line.key: _Row(line, *share[at]) for line, share in zip(lines, shares, strict=True)}
        rows += _of_piece(who, piece, target, today)
    return rows


def _of_piece(
    who: Member | None, piece: Piece, target: dict[tuple[str, str, str, str], _Row], today: date
) -> list[PieceCost]:
    written = _as_written(piece)
    first = not written
    rows = []
    for key in [*target, *(key for key in written if key not in target)]:
        row = target.get(key) or _Row(written[key].line)
        before = written.get(key) or _Row(row.line)
        amount, minutes = row.amount - before.amount, row.minutes - before.minutes
        if amount or minutes:
            rows.append(
                PieceCost(
                    piece=piece, who=who, kind=row.line.kind, name=row.line.name, basis=row.line.basis,
                    amount=amount, minutes=minutes, currency_symbol=row.line.currency_symbol,
                    currency_exponent=row.line.currency_exponent, on=piece.made_on if first else today,
                    words=FIRST if first else BETTER,
                )
            )  # fmt: skip
    return rows


def _as_written(piece: Piece) -> dict[tuple[str, str, str, str], _Row]:
    """What was written by hand, of a kind of its own, is left as it is."""
    found: dict[tuple[str, str, str, str], _Row] = {}
    for cost in piece.costs.all():
        if cost.kind == PieceCost.Kind.OTHER:
            continue
        line = JobLine(
            cost.kind, cost.name, cost.basis, Decimal(0), 0, cost.currency_symbol, cost.currency_exponent
        )  # fmt: skip
        row = found.setdefault(line.key, _Row(line))
        row.amount += cost.amount
        row.minutes += cost.minutes
    return found
