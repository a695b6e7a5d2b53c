"""What the pages about jobs show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Count, Q
from django.urls import reverse

from shopapp.lumber.looks import woods_seen
from shopapp.lumber.models import Demand, StockEntry, StockPiece
from shopapp.lumber.promising import readers as promising
from shopapp.lumber.promising.wanted import Wanted
from shopapp.payments.readers import standing
from shopapp.plans.cutting.doing.standing import why_not_whole
from shopapp.plans.preview.readers import in_grain
from shopapp.plans.readers import RecordView
from shopapp.quotes.answering import readers as answering
from shopapp.quotes.models import QuoteEvent
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop

from .actions import CLOSED, DONE, NEXT
from .beginning.readers import taking_of
from .cutting import closed_words
from .models import Job, JobEvent
from .over import OVER, over_word
from .spoiled.again import Again, needs_now

MOST_OPEN = 300
MOST_CLOSED = 60
State = Job.State


@dataclass(frozen=True)
class JobLine:
    """A job in the list: how many pieces are reserved and out for it, and whether its day is past."""

    job: Job
    reserved: int
    out: int
    late: bool


def lines_of(jobs: list[Job], today: date) -> list[JobLine]:
    """What is reserved and out for each, and whether its day is past. One query."""
    held = {
        key: (reserved, out)
        for key, reserved, out in Demand.objects.filter(key__in=[job.key for job in jobs])
        .annotate(
            reserved=Count("pieces", filter=Q(pieces__state=StockPiece.State.HERE)),
            out=Count("pieces", filter=Q(pieces__state=StockPiece.State.TAKEN)),
        )
        .values_list("key", "reserved", "out")
    }
    return [
        JobLine(
            job,
            *_in_hand(job, held.get(job.key, (0, 0))),
            late=bool(job.due and job.due < today and job.state not in CLOSED),
        )
        for job in jobs
    ]


def _in_hand(job: Job, held: tuple[int, int]) -> tuple[int, int]:
    """Of what is over nothing is out: it is in the board, or gone."""
    return (held[0], 0) if job.state in OVER else held


def earlier_pieces(besides: Job | None = None) -> list[Job]:
    """The newest that are made, and the one ``besides`` is about, however old. Two queries at most."""
    found = Job.objects.filter(state__in=DONE).exclude(pk=besides.pk if besides else None).order_by("-pk")
    jobs = list(found.select_related("of")[:MOST_OPEN])
    return jobs if besides is None or besides.of is None or besides.of in jobs else [besides.of, *jobs]


def wanted_by(job: Job) -> Wanted:
    """The job as the pages of the rack are told of it. Four queries at most."""
    closed = closed_words(job)
    workshop = the_workshop()
    needs, again = needs_now(job, workshop)
    return Wanted(
        label=job.label,
        key=job.key,
        home=job.get_absolute_url(),
        here=reverse("jobs:wood", args=[job.pk]),
        bring_back=lambda mark: reverse("jobs:back", args=[job.pk, mark]),
        needs=needs,
        remark=_again_said(again, workshop),
        cut=reverse("jobs:cut", args=[job.pk]) if job.plan_id else "",
        closed=closed,
        refuses=lambda: closed_words(Job.objects.select_for_update().get(pk=job.pk)),
        not_whole=lambda mark: why_not_whole(job.key, mark),
        over=over_word(job),
    )


def _again_said(again: Again | None, shop: Workshop) -> str:
    if again is None:
        return ""
    pieces = f"{again.pieces} piece{'s' * (again.pieces != 1)}"
    if not again.feet:
        return f"{pieces} to cut again are not in it: a strip for them cannot be laid."
    return f"{shop.counts_wood.told(sum(again.feet.values()))} of it for {pieces} to cut again."


@dataclass(frozen=True)
class Told:
    """One line of a job's story, of the job itself or of its wood."""

    at: datetime
    who: str
    words: str


def story_of(job: Job, demand: Demand | None, *, names: bool = True) -> list[Told]:
    """Newest first; without ``names`` of a job's own events how far it was is told and nothing else, for their words
    may say whom it is for. Two queries."""
    told = [
        Told(one.at, _who(one), one.words if names else f"It is {one.get_state_display()}.")
        for one in job.events.select_related("who")
    ]
    if demand is not None:
        entries = StockEntry.objects.filter(demand=demand).select_related("who")
        told += [Told(one.at, _who(one), one.words) for one in entries]
    return sorted(told, key=lambda one: one.at, reverse=True)


def _who(one: JobEvent | StockEntry) -> str:
    return one.who.get_username() if one.who else ""


@dataclass(frozen=True)
class Step:
    """A button that says how far the job is now."""

    state: str
    words: str


_STEPS = {
    (State.UNDER_WAY, State.FINISHED): "It is finished",
    (State.UNDER_WAY, State.PLANNED): "It is not begun yet",
    (State.FINISHED, State.HANDED_OVER): "It is handed over",
    (State.FINISHED, State.UNDER_WAY): "It is not finished yet",
    (State.HANDED_OVER, State.FINISHED): "It is not handed over yet",
    (State.CALLED_OFF, State.PLANNED): "Take it up again",
}


def steps_from(job: Job, may: tuple[str, ...]) -> list[Step]:
    """What can be said of the job now, the way on first; beginning it and calling it off are asked for apart."""
    here = State(job.state)
    return [Step(there, _STEPS[here, there]) for there in NEXT[here] if (here, there) in _STEPS and there in may]


def job_page(job: Job, workshop: Workshop, *, names: bool) -> dict[str, object]:
    """A job's own page: its board, its wood with what its start takes, and its story, with ``names`` of customers or
    without. Twelve queries at most."""
    demand, seen = promising.demand_of(job.key), woods_seen()
    promised = promising.promised_to(demand)
    needs, again = needs_now(job, workshop)
    in_hand = job.state in (State.PLANNED, State.UNDER_WAY)
    taking = taking_of(job, promised, needs, seen, workshop) if in_hand else None
    return {
        "taking": taking,
        "over_word": over_word(job),
        "to_fetch": taking.woods(seen) if taking else [],
        "job": job,
        "again": again,
        "view": RecordView(job.plan.record, job.label, workshop.unit) if job.plan else None,
        **(in_grain(lambda name: reverse(f"jobs:{name}", args=[job.pk])) if job.plan else {}),
        "promised": promised,
        "needs": promising.woods_wanted(needs, promised, seen),
        "story": story_of(job, demand, names=names),
    }


def quoted(job: Job) -> dict[str, object]:
    """Of a job that a quote made: the answer with the proof that was accepted, how its money stands, and whether a
    question waits. Seven queries at most; for the owner."""
    if job.quote is None:
        return {}
    said = answering.said_about(job.quote)
    return {
        "accepted": answering.answer_to(job.quote),
        "standing": standing(answering.subject_of(job.quote)),
        "said": said,
        "asked": answering.waits_for_an_answer(said),
    }


def jobs_told_wrongly() -> list[str]:
    """For `manage.py verify`: jobs that are not what their newest event says, and accepted quotes without a job."""
    newest: dict[int, str] = dict(JobEvent.objects.order_by("pk").values_list("job_id", "state"))
    faults = [
        f"Job {pk} is {state}, its events say {newest.get(pk, 'nothing')}."
        for pk, state in Job.objects.values_list("pk", "state")
        if newest.get(pk) != state
    ]
    accepted = set(QuoteEvent.objects.filter(kind=QuoteEvent.Kind.ACCEPTED).values_list("quote_id", flat=True))
    made = set(Job.objects.exclude(quote=None).values_list("quote_id", flat=True))
    faults += [f"Quote {pk} was accepted, but there is no job of it." for pk in sorted(accepted - made)]
    faults += [f"There is a job of quote {pk}, which was not accepted." for pk in sorted(made - accepted)]
    return faults
