"""The worker's part of a cut plan: it looks for better ones, saves each that holds, and minds being told to stop.

All searches of one job (``CutSearch.input_hash``) that have not ended are worked at by one run, whoever asked.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import timedelta

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.tasks import UNEXPECTED, background, enqueue
from shopapp.plans.models import CutSearch
from shopapp.workshop.readers import the_workshop

from . import planning
from .planning import Found

MOST_MINUTES = 30
# How often a run looks whether it should stop, and says that it lives.
LOOK_SECONDS = 1.0
# A plan is proved before it is saved; so much of the time goes to searching at the least.
SEARCH_TO_PROOF = 4
_TOO_LARGE = "It needs more memory than this shop allows a task; what was found until then stands."


@background(name="look for a better cut plan", aside_for=(MOST_MINUTES + 2) * 60)
def look(search_id: int) -> None:
    """Work at the job of a search until everybody who asked for it has enough, or nothing is left to try."""
    first = CutSearch.objects.select_related("plan").get(pk=search_id)
    run = Run(first.input_hash)
    if not run.begin():
        return
    try:
        last = planning.search(first.file, first.plan.record, the_workshop(), run.keep_going, run.tell)
    except PlannerError as error:
        run.end(trouble=str(error))
    except MemoryError:
        run.end(trouble=_TOO_LARGE)
    except Exception:
        run.end(trouble=UNEXPECTED)
        raise
    else:
        run.save(last)
        run.end(tried_out=run.going)


class Run:
    """One run of a search: what it found and has not saved yet, and when it looked up last."""

    def __init__(self, input_hash: str, clock: Callable[[], float] = time.monotonic) -> None:
        self.input_hash = input_hash
        self.clock = clock
        self.going = True
        self.steps = 0
        self.looks_next = clock() + LOOK_SECONDS
        self.proves_next = 0.0
        self.waiting: Callable[[], Found | None] | None = None

    @property
    def rows(self) -> QuerySet[CutSearch]:
        return CutSearch.objects.filter(input_hash=self.input_hash, ended_at=None)

    def begin(self) -> bool:
        """Say that somebody is at it; False where nobody waits any more."""
        now = timezone.now()
        return bool(self.rows.update(began_at=now, heartbeat_at=now))

    def keep_going(self) -> bool:
        """Asked by the planner before every step."""
        self.steps += 1
        if self.going and self.clock() >= self.looks_next:
            self.look_up()
            self.looks_next = self.clock() + LOOK_SECONDS
        return self.going

    def tell(self, prove: Callable[[], Found | None]) -> None:
        """A better plan was found. Only the newest is proved and saved, when there is time for it."""
        self.waiting = prove
        if self.clock() >= self.proves_next:
            self.save_what_waits()

    def look_up(self) -> None:
        """Save what is better, say that this run lives, and end what has had its time or was told to stop."""
        if self.clock() >= self.proves_next:
            self.save_what_waits()
        now = timezone.now()
        for row in self.rows.only("began_at", "minutes", "stop_asked"):
            began = row.began_at or now
            if row.stop_asked or now - began >= timedelta(minutes=row.minutes):
                CutSearch.objects.filter(pk=row.pk, ended_at=None).update(ended_at=now)
        self.going = bool(self.rows.update(heartbeat_at=now, looked=self.steps))

    def save_what_waits(self) -> None:
        if self.waiting is None:
            return
        began = self.clock()
        self.save(self.waiting())
        self.waiting = None
        self.proves_next = self.clock() + SEARCH_TO_PROOF * (self.clock() - began)

    def save(self, found: Found | None) -> None:
        """Give a plan that holds to everybody who waits for one, where it is better than theirs."""
        if found is None:
            return
        with transaction.atomic():
            for row in self.rows.select_for_update().order_by("pk"):
                if (kept := planning.better(found, best_of(row))) is not None:
                    CutSearch.objects.filter(pk=row.pk).update(best=kept.text, cost=kept.cost, floor=kept.floor)

    def end(self, *, trouble: str = "", tried_out: bool = False) -> None:
        """Nobody is at it any more. Who asked after the run was told to stop gets one of their own."""
        with transaction.atomic():
            if self.going:
                self.rows.update(
                    ended_at=timezone.now(), looked=self.steps, trouble=trouble, tried_out=tried_out and not trouble
                )
            elif late := self.rows.select_for_update().order_by("pk").first():
                self.rows.update(task=enqueue(look, late.pk))


def best_of(row: CutSearch) -> Found | None:
    return Found(row.best, row.cost, row.floor) if row.best else None
