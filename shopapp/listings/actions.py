"""A finished piece listed, changed, sold, given away, and for sale again where that fell through."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.templatetags.shop import money
from shopapp.designs.pictures.rights import question_before
from shopapp.jobs.models import Job
from shopapp.people.choosing import person_of
from shopapp.people.models import Member, Person
from shopapp.people.permissions import owner_only
from shopapp.plans.readers import shop_as_kept
from shopapp.workshop.readers import the_workshop

from .models import Listing, ListingEvent
from .pieces.actions import number_piece

Spend = Callable[[], None]
# Where the name comes that is known once its row is.
_TO = "{to}"
State = Listing.State
FINISHED = (Job.State.FINISHED, Job.State.HANDED_OVER)


@dataclass(frozen=True)
class ListingFacts:
    """What stands on a listing; the price in the currency it was first listed in."""

    title: str
    words: str
    price: Decimal


class ListingMoved(PlannerError):
    """The piece is not where the page that was open thought."""


def list_piece(*, who: Member | None, job: Job, facts: ListingFacts, spend: Spend = lambda: None) -> Listing:
    """Offer a finished piece of a job. Raises PlannerError where the job is not finished, or where whose the picture
    is was not answered."""
    owner_only(who)
    with transaction.atomic():
        spend()
        job = Job.objects.select_for_update(of=("self",)).select_related("plan__design").get(pk=job.pk)
        if job.state not in FINISHED:
            raise PlannerError(f"{job.label} is {job.get_state_display()}.", mend="Say that it is finished first.")
        if job.plan is not None and (question := question_before(job.plan.design, "list")):
            raise PlannerError(question, mend="Answer that first.")
        shop = shop_of(job)
        piece = number_piece(who=who, job=job, title=facts.title, made_on=timezone.localdate())
        listing = Listing.objects.create(
            piece=piece,
            job=job,
            title=facts.title,
            words=facts.words,
            price=facts.price,
            currency_symbol=shop.currency_symbol,
            currency_exponent=shop.currency_exponent,
        )
        _tell(
            who,
            listing,
            f"{listing.title} was listed for {money(listing.price, listing)}.",
            plain=f"{listing.title} was listed.",
        )
    return listing


def shop_of(job: Job):
    """The shop with the currency of the job's plan."""
    shop = the_workshop()
    return shop_as_kept(shop, job.plan.record) if job.plan is not None else shop


def change_listing(
    *, who: Member | None, listing: Listing, facts: ListingFacts, seen_version: int, spend: Spend = lambda: None
) -> Listing:
    """Change the words or the price asked, while the piece is for sale."""
    owner_only(who)
    with transaction.atomic():
        spend()
        listing = Listing.objects.select_for_update().get(pk=listing.pk)
        check_version(listing, seen_version)
        if listing.state != State.FOR_SALE:
            raise ListingMoved(f"{listing.title} is {listing.get_state_display()}.", mend="It stays as it was listed.")
        told = _changes_said(listing, facts)
        if not told:
            return listing
        listing.title, listing.words, listing.price = facts.title, facts.words, facts.price
        listing.save()
        bump_version(listing)
        _tell(who, listing, " ".join(told), plain="What is said of it was changed.")
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


def sell_piece(
    *,
    who: Member | None,
    listing: Listing,
    on: date,
    to_whom: Person | str | None,
    got: Decimal,
    seen_version: int,
    spend: Spend = lambda: None,
) -> ListingEvent:
    """The piece was sold for ``got``; nothing got for it is no sale. A name that is new in the book gets its row."""
    if got <= 0:
        raise PlannerError(
            "Sold for nothing is given away.", mend="Say that it was given, or what was got.", field="got"
        )
    return _move(
        who, listing, State.SOLD, seen_version, spend, on=on, to_whom=to_whom, got=got,
        words=f"{listing.title} was sold{_TO} for {money(got, listing)}.", plain=f"{listing.title} was sold.",
    )  # fmt: skip


def give_piece(
    *,
    who: Member | None,
    listing: Listing,
    on: date,
    to_whom: Person | str | None,
    seen_version: int,
    spend: Spend = lambda: None,
) -> ListingEvent:
    given = f"{listing.title} was given"
    return _move(
        who, listing, State.GIVEN, seen_version, spend, on=on, to_whom=to_whom,
        words=f"{given}{_TO if to_whom else ' away'}.", plain=f"{given} away.",
    )  # fmt: skip


def offer_again(
    *, who: Member | None, listing: Listing, seen_version: int, spend: Spend = lambda: None
) -> ListingEvent:
    """The sale or the gift fell through; what was written of it stays."""
    words = f"{listing.title} is for sale again."
    return _move(who, listing, State.FOR_SALE, seen_version, spend, words=words, plain=words)


def _move(
    who: Member | None, listing: Listing, state: str, seen_version: int, spend: Spend, *, words: str, plain: str,
    on: date | None = None, to_whom: Person | str | None = None, got: Decimal | None = None,
) -> ListingEvent:  # fmt: skip
    owner_only(who)
    with transaction.atomic():
        spend()
        listing = Listing.objects.select_for_update().get(pk=listing.pk)
        if listing.edit_version != seen_version:
            raise ListingMoved(f"{listing.title} was changed meanwhile.", mend="Look at it as it is now.")
        if (state == State.FOR_SALE) == (listing.state == State.FOR_SALE):
            raise ListingMoved(f"{listing.title} is {listing.get_state_display()}.", mend="Look at it as it is now.")
        listing.state = state
        listing.save(update_fields=["state", "changed_at"])
        bump_version(listing)
        person = person_of(who, to_whom)
        words = words.replace(_TO, f" to {person.name}" if person else "")
        return _tell(who, listing, words, plain=plain, on=on, person=person, got=got)


def _tell(
    who: Member | None, listing: Listing, words: str, *, plain: str, on: date | None = None,
    person: Person | None = None, got: Decimal | None = None,
) -> ListingEvent:  # fmt: skip
    event = ListingEvent.objects.create(
        listing=listing,
        who=who,
        state=listing.state,
        on=on or timezone.localdate(),
        person=person,
        to_whom=person.name if person else "",
        got=got,
        words=words[:400],
        plain_words=plain[:400],
    )
    write_audit(who, words, listing)
    return event
