"""What the season is reckoned from: the jobs in hand, what is done of them, and the shop with its free hours."""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.core.cache import cache

from shopapp.jobs.models import Job
from shopapp.jobs.tonight.made import Made, made_of
from shopapp.lumber.models import StockPiece
from shopapp.plans.models import Plan
from shopapp.plans.timetable.asked import free_sessions
from shopapp.plans.timetable.forms import WEEKS
from shopapp.plans.timetable.planning import SLOTS_A_DAY, Slots, slot_at
from shopapp.schedule.log.planning import minutes_used
from shopapp.schedule.models.hours import clock
from shopapp.schedule.planning import SLOT_MINUTES, Day, days_between
from shopapp.workshop import planning as workshop_planning
from shopapp.workshop import readers as workshop

from . import judging, planning

# So many jobs are planned together, what is due first before; more are said to be left out.
MOST_PLANNED = 40
TO_MAKE = (Job.State.PLANNED, Job.State.UNDER_WAY)
_KEPT_SECONDS = 3600


@dataclass(frozen=True)
class Evening:
    """A session the week could have besides: every ``weekday`` (0 is Monday), minutes from midnight."""

    weekday: int
    starts: int
    ends: int

    @property
    def from_to(self) -> str:
        return f"{clock(self.starts)} to {clock(self.ends)}"


@dataclass(frozen=True)
class Asked:
    """The jobs that are planned together, their boards without the records yet, and the shop; ``key`` is a hash of all
    of it. ``over`` are jobs beyond what is planned at once."""

    jobs: list[Job]
    over: list[Job]
    shop: planning.Shop
    evening: Evening | None
    ticked: dict[int, dict[str, int]]
    settled: frozenset[int]
    key: str

    @property
    def first(self) -> date:
        return self.shop.first

    def boards(self) -> list[planning.Board]:
        """With their records. One query."""
        plans = Plan.objects.in_bulk({job.plan_id for job in self.jobs})
        return [
            planning.Board(
                job.pk,
                plans[job.plan_id].record,
                job.due,
                self.ticked.get(job.pk, {}),
                job.pk in self.settled,
                job.by_hand,
            )
            for job in self.jobs
        ]

    def judged(self) -> judging.Judged:
        """From the cache while nothing it follows from has changed."""
        key = f"season:{self.key}"
        found = cache.get(key)
        if found is None:
            found = judging.judge(self.boards(), self.shop)
            cache.set(key, found, _KEPT_SECONDS)
        return found

    def fitting(self, by: date) -> judging.Fitting:
        key = f"season:{self.key}:{by}"
        found = cache.get(key)
        if found is None:
            lightly = {job.pk: _LIGHTLY[job.kind] for job in self.jobs}
            found = judging.fitting(self.boards(), self.shop, by, lightly)
            cache.set(key, found, _KEPT_SECONDS)
        return found


# Nobody waits for what is made for sale; a commission was promised for money, and whoever brought a piece back waits
# for it as long (a choice, no source).
_LIGHTLY = {
    Job.Kind.SALE: 0,
    Job.Kind.GIFT: 1,
    Job.Kind.REMAKE: 2,
    Job.Kind.COMMISSION: 2,
}
# A plan says what a whole board takes; what is mended of one it does not.
MENDED = (Job.Kind.REPAIR, Job.Kind.COMPLAINT)


def asked(jobs: list[Job], now: datetime) -> Asked:
    """``jobs`` in hand, at a moment of the shop's clock. A fixed number of queries."""
    planned = [job for job in jobs if job.state in TO_MAKE and job.plan_id and job.kind not in MENDED]
    planned, over = planned[:MOST_PLANNED], planned[MOST_PLANNED:]
    made = made_of(planned, now)
    first = now.date()
    sha = dict(Plan.objects.filter(pk__in={job.plan_id for job in planned}).values_list("pk", "sha256"))
    # The evenings booked for these jobs are planned anew; what anybody else booked is not free.
    sessions = free_sessions(first, _keys(planned, made))
    row = workshop.the_workshop()
    days = days_between(first, WEEKS)
    evening = _evening(days, row.people)
    shop = planning.Shop(
        row,
        workshop_planning.glue_shop_of(row),
        workshop.adhesives()[0],
        workshop.finishes()[0],
        minutes_used(row),
        first,
        sessions,
        _with(sessions, evening, days, first) if evening else (),
    )
    ticked = _ticked(planned, made, first)
    settled = _settled(planned, made)
    said = [
        [
            (job.pk, sha[job.plan_id], job.due, job.kind, job.by_hand, sorted(ticked.get(job.pk, {}).items()))
            for job in planned
        ],
        sorted(settled),
        first,
        sessions,
        evening,
        shop.evening,
        row.edit_version,
        shop.glue,
        [(one.pk, one.edit_version) for one in (shop.adhesive, shop.finish)],
        sorted(shop.times.items()),
    ]
    key = hashlib.sha256(repr(said).encode()).hexdigest()
    return Asked(planned, over, shop, evening, ticked, settled, key)


def _keys(jobs: list[Job], made: list[Made]) -> set[str]:
    return {job.key for job in jobs} | {key for one in made for key in one.keys}


def _ticked(jobs: list[Job], made: list[Made], first: date) -> dict[int, dict[str, int]]:
    """By job the steps that are done, wherever they were ticked, without the number their board had there."""
    pks = {job.key: job.pk for job in jobs}
    found: dict[int, dict[str, int]] = {}
    for one in made:
        for step, at in one.ticked.items():
            head = step.partition("/")[0].partition(".")[0]
            if not head.isdigit() or not 0 < int(head) <= len(one.boards) or int(head) in one.elsewhere:
                continue
            key = one.board(int(head))["key"]
            if key in pks:
                found.setdefault(pks[key], {})[step[len(head) :]] = slot_at(first, at)
    return found


def _settled(jobs: list[Job], made: list[Made]) -> frozenset[int]:
    """Whose wood is here: its timetable says so, or some of it was taken for the job. One query."""
    out = set(
        StockPiece.objects.filter(demand__key__in=[job.key for job in jobs], state=StockPiece.State.TAKEN).values_list(
            "demand__key", flat=True
        )
    )
    said = {one.job.pk for one in made if one.kept.wishes.get("in_hand")}
    return frozenset(said | {job.pk for job in jobs if job.key in out})


def _evening(days: list[Day], people: int) -> Evening | None:
    """On the first day of the week that has no hours, as long as most sessions are; None where every day has some, or
    none has."""
    usual = [day for day in days if not day.different]
    spans = Counter((one.starts, one.ends) for day in usual for one in day.hours if one.people >= people)
    free = sorted({day.day.weekday() for day in usual} - {day.day.weekday() for day in usual if day.hours})
    if not spans or not free:
        return None
    (starts, ends), _ = max(spans.items(), key=lambda one: (one[1], one[0]))
    return Evening(free[0], starts, ends)


def _with(sessions: Slots, evening: Evening, days: list[Day], first: date) -> Slots:
    """The sessions with one more every week, but on days that are different; from tomorrow on."""
    more = []
    for day in days:
        if day.day > first and day.day.weekday() == evening.weekday and not day.different:
            at = (day.day - first) // timedelta(days=1) * SLOTS_A_DAY
            more.append((at - (-evening.starts // SLOT_MINUTES), at + evening.ends // SLOT_MINUTES))
    return tuple(sorted((*sessions, *more)))
