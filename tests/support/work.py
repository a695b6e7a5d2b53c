"""Work in hand to test with: a quote from a kept plan, jobs with wood, a finished piece that is listed."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from shopapp.designs.pictures.rights import answer_rights
from shopapp.jobs.actions import JobFacts, make_job, move_job
from shopapp.jobs.done.open import leaving_of, open_of
from shopapp.jobs.models import Job
from shopapp.jobs.readers import wanted_by
from shopapp.listings.actions import ListingFacts, list_piece
from shopapp.listings.models import Listing
from shopapp.lumber.models import StockPiece
from shopapp.lumber.promising.actions import Tick, do_with_ticked
from shopapp.plans.actions import keep_plan
from shopapp.plans.models import Plan
from shopapp.quotes.actions import Offer, Offered, make_quote
from shopapp.quotes.drafts.actions import begin_draft, first_facts
from shopapp.quotes.models import Quote, QuoteDraft
from shopapp.workshop.readers import the_workshop
from tests.support.shop import add_woods, board, design_with_pattern


def kept(owner, name: str = "Flag", **changes) -> Plan:
    """A kept plan of a small board."""
    add_woods("sycamore", "walnut-black", "birch-yellow", "padauk")
    return another(owner, name, **changes)


def another(owner, name: str = "Pennant", **changes) -> Plan:
    """A kept plan of a small board of another picture, in a shop that has its woods."""
    design = design_with_pattern(owner, name=name)
    return _kept(owner, design, **changes)


def beside(owner, plan: Plan, **changes) -> Plan:
    """Another kept plan of the same picture."""
    return _kept(owner, plan.design, **changes)


def _kept(owner, design, **changes) -> Plan:
    plan = keep_plan(who=owner, version=design.versions.get(), board=board(**changes), workshop=the_workshop())
    return Plan.objects.get(pk=plan.pk)


def may(owner, plan: Plan, purpose: str) -> None:
    """Whose the picture of a plan is was answered: it is one's own."""
    answer_rights(who=owner, design=plan.design, purpose=purpose, rights="own", note="")


def offer(**changes) -> Offer:
    today = timezone.localdate()
    return Offer(
        **{
            "for_whom": "Wren Attwater",
            "title": "Flag for the boathouse",
            "dated": today,
            "valid_until": today + timedelta(days=30),
            "carriage": Decimal(0),
            "words": "As we spoke about it on the quay.",
            "care": "Dust it with a dry cloth.",
            "left_out": "Putting it up.",
            "terms": "Half on order.",
            **changes,
        }
    )


PRICE = Decimal("240.00")


def quote(owner, *plans: Plan, replaces: Quote | None = None, price: Decimal = PRICE, **changes) -> Quote:
    """A quote that offers each of ``plans`` at the same price."""
    for plan in plans:
        may(owner, plan, "quote")
    options = [Offered(plan, price) for plan in plans]
    return make_quote(who=owner, offer=offer(**changes), options=options, replaces=replaces)


def draft(owner, *plans: Plan, title: str = "Flag for the boathouse", **changes) -> QuoteDraft:
    """A quote being written of these plans, for Wren Attwater."""
    for plan in plans:
        may(owner, plan, "quote")
    facts = replace(first_facts(the_workshop(), plans, title), **{"person": "Wren Attwater", **changes})
    return begin_draft(who=owner, facts=facts, plans=plans)


def job(owner, plan: Plan | None = None, **changes) -> Job:
    return make_job(who=owner, facts=JobFacts(**{"label": "Flag", "kind": "gift", "plan": plan, **changes}))


def move(owner, job: Job, *states: str) -> Job:
    """How far a job is, one after another; it is finished with whatever is open."""
    for state in states:
        job.refresh_from_db()
        read = open_of(job, owner) if state == "finished" else leaving_of(job) if state == "called off" else None
        seen = read.seen if read else ""
        move_job(who=owner, job=job, state=state, seen_version=job.edit_version, with_open=seen)
    job.refresh_from_db()
    return job


def ticks(*pieces: StockPiece) -> list[Tick]:
    return [Tick(piece.pk, piece.edit_version) for piece in pieces]


def give(owner, job: Job, do: str, *pieces: StockPiece) -> None:
    """Reserve, release or take pieces for a job."""
    for piece in pieces:
        piece.refresh_from_db()
    do_with_ticked(who=owner, wanted=wanted_by(job), do=do, ticks=ticks(*pieces))
    for piece in pieces:
        piece.refresh_from_db()


def listing(owner, job: Job, **changes) -> Listing:
    if job.plan:
        may(owner, job.plan, "list")
    facts = ListingFacts(**{"title": "Flag", "words": "Of four woods.", "price": Decimal("240.00"), **changes})
    return list_piece(who=owner, job=job, facts=facts)
