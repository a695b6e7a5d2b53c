"""Time that runs at the bench: begun, stopped or thrown away by entries, so that every tablet shows the same.

Hands are at one thing: who begins another stops what ran before. What a device sends late is put where it was done.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job, TimerEntry
from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable, Plan
from shopapp.plans.timetable.wanted import Making
from shopapp.schedule.log.actions import TimeFacts, log_time
from shopapp.schedule.log.planning import counts_of_record, operation_words

Spend = Callable[[], None]
Kind = TimerEntry.Kind
# A day at the bench; a longer one was not stopped.
MOST_MINUTES = 24 * 60
_MEND = "Do it on the page, where it says how things stand."


def log_of(making: Making, kept: KeptTimetable, board: int) -> tuple[str, str, Plan]:
    """The key, label and plan of the board of a timetable that was worked at."""
    if board <= 1:
        return making.key, making.label, making.plan
    if board > len(kept.boards):
        raise PlannerError("This timetable has no such board.", mend=_MEND)
    one = kept.boards[board - 1]
    return one["key"], one["label"], Plan.objects.get(pk=one["plan"])


def minutes_between(begun: datetime, ended: datetime) -> int:
    """By the hours that pass, whatever the clock on the wall does; what was begun took a minute at least."""
    return max(1, round((ended - begun) / timedelta(minutes=1)))


def begin(
    *, who: Member, job: Job, kept: KeptTimetable, board: int, operation: str, token: str, at: datetime,
    spend: Spend = lambda: None,
) -> str:  # fmt: skip
    """Begin a time; what is so now, in a sentence. Begun twice it runs once. Raises PlannerError where what ran before
    ran so long that nobody stopped it."""
    with transaction.atomic():
        spend()
        _one_after_another(who)
        log_of(making_of_job(job.pk), kept, board)
        words = operation_words(operation)
        if TimerEntry.objects.filter(kind=Kind.BEGUN, token=token).exists():
            return f"“{words}” was begun already."
        before = running_of(who)
        if before is not None and (before.job_id, before.board, before.operation) == (job.pk, board, operation):
            return f"“{words}” runs since {_clock(before.at)} and goes on."
        made = TimerEntry(
            job=job, timetable=kept, board=board, kind=Kind.BEGUN, token=token, operation=operation, at=at, who=who
        )
        if before is not None and at < before.at:
            made.save()
            return f"{_stop(who, made, before.at)} Something else was begun then."
        said = f"{_stop(who, before, at)} " if before is not None else ""
        made.save()
        return f"{said}“{words}” runs since {_clock(at)}."


def end(
    *, who: Member, job: Job, kind: str, token: str, board: int, operation: str, at: datetime,
    spend: Spend = lambda: None,
) -> str:  # fmt: skip
    """Stop a time and write it down, or throw it away; what is so now. Ended by another tablet it stays as it is."""
    with transaction.atomic():
        spend()
        _one_after_another(who)
        begun = TimerEntry.objects.filter(kind=Kind.BEGUN, token=token, who=who).select_related("timetable").first()
        if begun is None:
            # This device's own was not needed: the same ran already.
            alike = _running().filter(who=who, job=job, board=board, operation=operation)
            begun = alike.select_related("timetable").first()
        if begun is None:
            raise PlannerError("No such time is running.", mend="Write the time down on the job’s page of time.")
        if (ended := TimerEntry.objects.filter(ends=begun).first()) is not None:
            how = "thrown away" if ended.kind == Kind.DROPPED else "stopped"
            return f"“{operation_words(begun.operation)}” was {how} already, {_clock(ended.at)}; nothing was added."
        return _stop(who, begun, at) if kind == "stop" else _drop(who, begun, at)


def _one_after_another(who: Member) -> None:
    Member.objects.select_for_update().get(pk=who.pk)


def _running():
    return TimerEntry.objects.filter(kind=Kind.BEGUN, ended_by=None)


def running_of(who: Member) -> TimerEntry | None:
    return _running().filter(who=who).select_related("timetable").order_by("-at", "-pk").first()


def _stop(who: Member, begun: TimerEntry, at: datetime) -> str:
    minutes = minutes_between(begun.at, at)
    words = operation_words(begun.operation)
    if minutes > MOST_MINUTES:
        raise PlannerError(
            f"“{words}” runs since {_clock(begun.at)}: nobody stopped it.",
            mend="Throw it away, and write down what was worked on the job’s page of time.",
        )
    key, label, plan = log_of(making_of_job(begun.job_id), begun.timetable, begun.board)
    facts = TimeFacts(begun.operation, minutes, timezone.localtime(begun.at).date(), by=who)
    planned = counts_of_record(plan.record)
    _ended(who, begun, Kind.STOPPED, at, log_time(who=who, key=key, label=label, facts=facts, planned=planned))
    return f"{minutes} min at “{words}” are written down."


def _drop(who: Member, begun: TimerEntry, at: datetime) -> str:
    words = operation_words(begun.operation)
    dropped = _ended(who, begun, Kind.DROPPED, at)
    write_audit(who, f"{begun.job.label}: a running time of “{words}” was thrown away.", dropped)
    return f"“{words}” was thrown away; nothing is written down."


def _ended(who: Member, begun: TimerEntry, kind: str, at: datetime, time=None) -> TimerEntry:
    same = {name: getattr(begun, name) for name in ("job_id", "timetable_id", "board", "token", "operation")}
    return TimerEntry.objects.create(**same, kind=kind, at=at, who=who, ends=begun, time=time)


def _clock(at: datetime) -> str:
    return date_format(timezone.localtime(at), "D H:i")


@dataclass(frozen=True)
class Running:
    """A time that runs, as the page shows it."""

    entry: TimerEntry

    @property
    def words(self) -> str:
        return operation_words(self.entry.operation)

    @property
    def label(self) -> str:
        boards = self.entry.timetable.boards
        return self.entry.job.label if self.entry.board <= 1 else boards[self.entry.board - 1]["label"]

    @property
    def millis(self) -> int:
        return round(self.entry.at.timestamp() * 1000)

    def minutes(self, now: datetime) -> int:
        return max(0, int((now - self.entry.at) / timedelta(minutes=1)))


def all_running() -> list[Running]:
    """Everybody's, the newest first. One query."""
    fields = ("job__label", "who__username", "timetable__boards", "operation", "board", "token", "at", "kind")
    rows = _running().select_related("job", "who", "timetable").only(*fields).order_by("-at", "-pk")
    return [Running(row) for row in rows]
