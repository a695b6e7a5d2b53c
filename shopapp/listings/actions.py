"""A finished piece listed, and what stands on its listing changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version
from shopapp.common.templatetags.shop import money
from shopapp.designs.pictures.rights import question_before
from shopapp.jobs.actions import DONE
from shopapp.jobs.models import Job
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only

from .models import Listing, Piece
from .pieces.actions import number_pieces
from .pieces.readers import shop_of_job
from .selling.actions import FREE
from .telling import ListingMoved, tell

Spend = Callable[[], None]
State = Listing.State
FINISHED = DONE
OFFERED = (State.FOR_SALE, State.HELD)


@dataclass(frozen=True)
class ListingFacts:
    """What stands on a listing; the price in the currency it was first listed in."""

    title: str
    words: str
    price: Decimal


def list_piece(
    *, who: Member | None, job: Job, facts: ListingFacts, piece: Piece | None = None, spend: Spend = lambda: None
) -> Listing:
    """Offer a finished piece of a job: ``piece``, or the first that is free and not listed, or one that gets its number
    now. Raises PlannerError where the job is not finished, whose the picture is was not answered, or the piece is
    gone or listed already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan__design").get(pk=job.pk)
        if job.state not in FINISHED:
            raise PlannerError(f"{job.label} is {job.get_state_display()}.", mend="Say that it is finished first.")
        if job.plan is not None and (question := question_before(job.plan.design, "list")):
            raise PlannerError(question, mend="Answer that first.")
        if piece is None:
            piece = unlisted(job) or number_pieces(who=who, job=job, count=1, title=facts.title)[0]
        piece = Piece.objects.select_for_update().get(pk=piece.pk)
        if piece.where not in FREE or piece.sale_id is not None:
            raise PlannerError(f"{piece} is {piece.get_where_display()}.", mend="Only what is to be had is listed.")
        if piece.listings.exclude(state=State.WITHDRAWN).exists():
            raise PlannerError(f"{piece} is listed already.", mend="Look at that listing.")
        shop = shop_of_job(job)
        listing = Listing.objects.create(
            piece=piece,
            job=job,
            title=facts.title,
            words=facts.words,
            price=facts.price,
            currency_symbol=shop.currency_symbol,
            currency_exponent=shop.currency_exponent,
        )
        tell(
            who,
            listing,
            f"{listing.title} was listed for {money(listing.price, listing)}.",
            plain=f"{listing.title} was listed.",
        )
    return listing


def unlisted(job: Job) -> Piece | None:
    """The first piece of a job that is to be had and is not listed. One query."""
    listed = Listing.objects.exclude(state=State.WITHDRAWN).values("piece")
    return job.pieces.filter(sale=None, where__in=FREE).exclude(pk__in=listed).order_by("number").first()


def change_listing(
    *, who: Member | None, listing: Listing, facts: ListingFacts, seen_version: int, spend: Spend = lambda: None
) -> Listing:
    """Change the words or the price asked, while the piece is for sale."""
    owner_only(who)
    with transaction.atomic():
        spend()
        listing = Listing.objects.select_for_update().get(pk=listing.pk)
        check_version(listing, seen_version)
        if listing.state not in OFFERED:
            raise ListingMoved(f"{listing.title} is {listing.get_state_display()}.", mend="It stays as it was listed.")
        told = _changes_said(listing, facts)
        if not told:
            return listing
        listing.title, listing.words, listing.price = facts.title, facts.words, facts.price
        listing.save()
        bump_version(listing)
        tell(who, listing, " ".join(told), plain="What is said of it was changed.")
    return listing


def _changes_said(listing: Listing, facts: ListingFacts) -> list[str]:
    told = []
    if facts.title != listing.title:
        told.append(f"{listing.title} is called {facts.title} now.")
    if facts.price != listing.price:
        told.append(f"{money(facts.price, listing)} is asked for it now, {money(listing.price, listing)} was.")
    if facts.words != listing.words:
        told.append("Its words were changed.")
    return told
