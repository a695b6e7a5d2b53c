"""What the bench sends: a tick or its taking back, time that is begun, stopped, thrown away or was worked, how rows are
laid; each once, in the order it was done.

A tablet may have kept it for a while, so it says when it was done, and another may have been quicker.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format

from planner.errors import PlannerError
from shopapp.common.actions import is_key
from shopapp.common.away import moment_of
from shopapp.common.numbers import whole_number
from shopapp.jobs.actions import lay_face
from shopapp.jobs.making import making_of_job
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.plans.models import KeptTimetable, StepTick
from shopapp.plans.timetable import planning as timetables
from shopapp.plans.timetable.actions import StandsAlready, tick
from shopapp.plans.timetable.readers import kept_of
from shopapp.plans.timetable.standing import DRY, own_step
from shopapp.plans.timetable.wanted import Making
from shopapp.schedule.log.actions import TimeFacts, log_time
from shopapp.schedule.log.planning import counts_of_record, is_operation, operation_words

from . import running

Spend = Callable[[], None]
# What was kept on a tablet longer than this is looked at by somebody before it is written.
_OLDEST = 31, "a month"
KINDS = ("tick", "time", "begin", "stop", "drop", "face")
_MEND = "Do it on the page, where it says how things stand."


@dataclass(frozen=True)
class Sent:
    """``kind`` is one of KINDS. Of a tick ``step`` and ``done``; of time ``board``, ``operation`` and ``minutes``, of
    one that runs the ``token`` it is called by; of rows that are turned whether they lie face ``down``.
    ``timetable`` is the one the page showed, ``at`` when it was done."""

    kind: str
    job: int
    timetable: int
    at: datetime
    step: str = ""
    done: bool = True
    board: int = 1
    operation: str = ""
    minutes: int = 0
    down: bool = False
    token: str = ""


def read_sent(given: Mapping[str, str], now: datetime) -> Sent:
    """What was sent, read. Raises PlannerError for what nobody's page sends."""
    kind = given.get("kind", "")
    if kind not in KINDS:
        raise PlannerError("Nothing was named to be done.", mend=_MEND)
    sent = Sent(
        kind,
        _number(given.get("job", "")),
        _number(given.get("timetable", "")),
        moment_of(given.get("at", ""), now, _OLDEST, _MEND),
        given.get("step", "")[:80],
        given.get("done", "1") != "0",
        _number(given.get("board", "1")),
        given.get("operation", "")[:40],
        _number(given.get("minutes", "")),
        given.get("down", "") == "1",
        given.get("token", "")[:80],
    )
    if "\x00" in sent.step + sent.operation + sent.token:
        raise PlannerError("There is a character in it that no text can hold.", mend=_MEND)
    return sent


def _number(text: str) -> int:
    return whole_number(text, 15) or 0


def write(*, who: Member, sent: Sent, spend: Spend = lambda: None) -> str:
    """Write down what was sent; what is so now, in a sentence. Raises AlreadySent the second time, PlannerError where
    it does not go, and writes nothing then."""
    job = Job.objects.filter(pk=sent.job, plan__isnull=False).first()
    if job is None:
        raise PlannerError("There is no such job with a plan.", mend=_MEND)
    if sent.kind == "face":
        return lay_face(who=who, job=job, down=sent.down, spend=spend)
    if sent.kind in ("stop", "drop"):
        named = {"kind": sent.kind, "token": sent.token, "board": sent.board, "operation": sent.operation}
        return running.end(who=who, job=job, at=sent.at, spend=spend, **named)
    making = making_of_job(job.pk)
    kept = next(iter(kept_of(making)), None)
    if kept is None:
        raise PlannerError(f"No timetable is kept for {making.label}.", mend="Look for one and keep it.")
    if sent.kind == "begin":
        return _begin(who, sent, job, kept, spend)
    return (_tick if sent.kind == "tick" else _log)(who, sent, making, kept, spend)


def _begin(who: Member, sent: Sent, job: Job, kept: KeptTimetable, spend: Spend) -> str:
    _is_work(sent)
    if not is_key(sent.token):
        raise PlannerError("This time came without a name of its own.", mend=_MEND)
    named = {"board": max(sent.board, 1), "operation": sent.operation, "token": sent.token}
    return running.begin(who=who, job=job, kept=kept, at=sent.at, spend=spend, **named)


def _is_work(sent: Sent) -> None:
    if not is_operation(sent.operation):
        raise PlannerError("There is no such kind of work.", mend="Write the time down on the job’s page of time.")


def _tick(who: Member, sent: Sent, making: Making, kept: KeptTimetable, spend: Spend) -> str:
    bare = sent.step.removesuffix(DRY)
    words = timetables.words_of(kept.form).get(bare, "")
    if words and sent.timetable != kept.pk and _meant(sent, making, bare) not in ("", words):
        raise PlannerError(
            f"{making.label} was planned anew meanwhile, and that step is another one now: {words}.", mend=_MEND
        )
    try:
        tick(who=who, making=making, kept=kept, step=sent.step, done=sent.done, at=sent.at, spend=spend)
    except StandsAlready as error:
        raise StandsAlready(f"{words}: {_by_whom(sent, making, kept)}; nothing was added.") from error
    said = f"{words} is counted dry" if sent.step.endswith(DRY) else f"{words} is done"
    return f"{said}." if sent.done else f"{said}: taken back."


def _meant(sent: Sent, making: Making, step: str) -> str:
    """What the step was called in the timetable the page showed."""
    shown = KeptTimetable.objects.filter(pk=sent.timetable, key__in=making.keys).first()
    return timetables.words_of(shown.form).get(step, "") if shown else ""


def _by_whom(sent: Sent, making: Making, kept: KeptTimetable) -> str:
    key, step = own_step(sent.step, kept.boards, making.key)
    keys = making.keys if key == making.key else (key,)
    newest = StepTick.objects.filter(key__in=keys, step=step).select_related("who").first()
    if newest is None:
        return "it was not ticked"
    by = f" by {newest.who.get_username()}" if newest.who else ""
    at = date_format(timezone.localtime(newest.at), "D H:i")
    return f"{'ticked' if newest.done else 'taken back'} already{by}, {at}"


def _log(who: Member, sent: Sent, making: Making, kept: KeptTimetable, spend: Spend) -> str:
    _is_work(sent)
    if not 1 <= sent.minutes <= running.MOST_MINUTES:
        raise PlannerError(
            f"{sent.minutes} minutes in one go is no time at the bench.",
            mend="Write the time down on the job’s page of time.",
        )
    key, label, plan = running.log_of(making, kept, sent.board)
    facts = TimeFacts(sent.operation, sent.minutes, _day(sent), by=who)
    log_time(who=who, key=key, label=label, facts=facts, planned=counts_of_record(plan.record), spend=spend)
    return f"{sent.minutes} min at “{operation_words(sent.operation)}” are written down."


def _day(sent: Sent) -> date:
    """The day the work was begun on, by the shop's clock."""
    return timezone.localtime(sent.at - timedelta(minutes=sent.minutes)).date()
