"""A cut plan asked for, its search stopped, and what was found kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.tasks import enqueue, task_state
from shopapp.lumber.models import StockPiece
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.plans.models import CutSearch, CutSheet, Plan, sheet_fingerprint
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from . import planning
from .holding import hold
from .pieces import ToCut, as_seen, free_for, what_changed
from .planning import Found, NoRoomYet
from .searching import MOST_MINUTES, best_of, look
from .wanted import Cutting

Spend = Callable[[], None]
MINUTES = 3
# How many earlier searches of the same job are looked at for what they found.
_LOOK_BACK = 12


class RackMoved(PlannerError):
    """Pieces of the plan are not as they were when it was looked for. ``marks`` says of each what changed."""

    def __init__(self, marks: Mapping[str, str]) -> None:
        self.marks = marks
        super().__init__(" ".join(marks.values()), mend="Look for a plan again with the rack as it is now.")


@dataclass(frozen=True)
class Frozen:
    """A job as text, its hash, and the pieces it may use as they were seen."""

    text: str
    digest: str
    pieces: list[dict]


def frozen(cutting: Cutting, workshop: Workshop, wishes: Mapping, free: ToCut | None = None) -> Frozen:
    """The job as the rack is now, or of the pieces that are given. Raises CutPlanError for what cannot be made."""
    record = cutting.plan.record
    if free is None:
        free = free_for({wood["wood"] for wood in record["woods"]}, cutting.key)
    pieces = [as_seen(piece) for piece in free.pieces]
    return Frozen(*planning.freeze(record, workshop, pieces, wishes), pieces)


def ask_for_plan(
    *, who: Member | None, cutting: Cutting, wishes: Mapping, minutes: int = MINUTES, spend: Spend = lambda: None
) -> CutSearch:
    """Freeze the job as the rack is now, plan it at once, and have the worker look for better plans. Who asks for what
    is being looked for already shares that search. Raises CutPlanError, and changes nothing, for what cannot be made.
    """
    owner_only(who)
    workshop = the_workshop()
    job = frozen(cutting, workshop, wishes)
    try:
        first = planning.first_plan(job.text, cutting.plan.record, workshop)
    except NoRoomYet:
        first = None
    with transaction.atomic():
        spend()
        if closed := cutting.refuses():
            raise PlannerError(closed)
        # Two who ask for one job at once come one after the other.
        Plan.objects.select_for_update(of=("self",)).get(pk=cutting.plan.pk)
        _stop_all_of(cutting.key)
        search = CutSearch(
            key=cutting.key,
            label=cutting.label,
            plan=cutting.plan,
            wishes=dict(wishes),
            pieces=job.pieces,
            minutes=max(1, min(minutes, MOST_MINUTES)),
            asked_by=who,
            file=job.text,
            input_hash=job.digest,
            currency_symbol=workshop.currency_symbol,
            currency_exponent=workshop.currency_exponent,
        )
        _begin(search, first)
        write_audit(who, f"A cut plan for {cutting.label} was asked for.", search)
    return search


def _begin(search: CutSearch, first: Found | None) -> None:
    """Start from the best that was ever found for the same job; share the run that is at it, or begin one."""
    best, done, task = first, False, ""
    for other in CutSearch.objects.filter(input_hash=search.input_hash).order_by("-pk")[:_LOOK_BACK]:
        found = best_of(other)
        best = planning.better(found, best) or best if found else best
        done = done or other.tried_out
        if not task and other.is_running and task_state(other.task).word in ("waiting", "working"):
            task = other.task
            search.began_at, search.heartbeat_at = timezone.now(), other.heartbeat_at
    if best is not None:
        search.best, search.cost, search.floor = best.text, best.cost, best.floor
    if done and best is not None:
        search.tried_out, search.ended_at = True, timezone.now()
    search.save()
    if search.is_running:
        search.task = task or enqueue(look, search.pk)
        search.save(update_fields=["task"])


def stop_looking(*, who: Member | None, cutting: Cutting, spend: Spend = lambda: None) -> int:
    """End every search of this key; the worker stops when nobody else waits for the same job. How many ended."""
    owner_only(who)
    with transaction.atomic():
        spend()
        return _stop_all_of(cutting.key)


def _stop_all_of(key: str) -> int:
    return CutSearch.objects.filter(key=key, ended_at=None).update(stop_asked=True, ended_at=timezone.now())


def keep_plan_of(*, who: Member | None, cutting: Cutting, search: CutSearch, spend: Spend = lambda: None) -> CutSheet:
    """Keep the best plan of a search as a sheet with its set-ups, and promise its boards to whoever wants it; the
    search ends with it. Raises RackMoved where a piece it cuts is not there any more as it was."""
    owner_only(who)
    workshop = the_workshop()
    if search.key != cutting.key or not search.best:
        raise PlannerError("No plan was found yet.", mend="Wait until there is one, or look for one.")
    if faults := planning.faults_in_text(search.best, search.cost, search.floor):
        raise PlannerError(f"This plan does not hold: {faults[0]}", mend="Look for a plan again.")
    set_ups = planning.set_ups_text(search.best, cutting.plan.record, workshop, search.wishes)
    used = set(planning.boards_used(search.best))
    with transaction.atomic():
        spend()
        if closed := cutting.refuses():
            raise PlannerError(closed)
        pieces = [one for one in search.pieces if one["mark"] in used]
        if changed := what_changed(pieces, cutting.key, workshop.unit, lock=True):
            raise RackMoved(changed)
        pieces = _as_now(pieces)
        sheet = CutSheet.objects.create(
            key=cutting.key,
            label=cutting.label,
            plan=cutting.plan,
            wishes=search.wishes,
            pieces=pieces,
            cost=search.cost,
            floor=search.floor,
            currency_symbol=search.currency_symbol,
            currency_exponent=search.currency_exponent,
            kept_by=who,
            form=search.best,
            set_ups=set_ups,
            sha256=sheet_fingerprint(search.best, set_ups, pieces),
        )
        _stop_all_of(cutting.key)
        write_audit(who, f"A cut plan for {cutting.label} was kept.", sheet)
        hold(who=who, sheet=sheet)
    return sheet


def _as_now(pieces: Sequence[Mapping]) -> list[dict]:
    """The pieces with the edit versions they have now; what else of them matters is as it was seen."""
    versions = dict(StockPiece.objects.filter(pk__in=[one["pk"] for one in pieces]).values_list("pk", "edit_version"))
    return [{**one, "version": versions[one["pk"]]} for one in pieces]
