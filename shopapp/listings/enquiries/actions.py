"""An enquiry taken, told to the maker, answered or set aside, put to a person; a quote begun from it."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable
from dataclasses import dataclass

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import AlreadySent, bump_version, check_version, spend_key, write_audit
from shopapp.common.mail import post, send_letter
from shopapp.common.tasks import background, enqueue
from shopapp.designs.pictures.rights import question_before
from shopapp.listings.models import Enquiry, Listing
from shopapp.people.known.actions import Written, add_person, standing
from shopapp.people.models import Member, Person, Way
from shopapp.people.permissions import owner_only
from shopapp.quotes.drafts.actions import begin_draft, first_facts
from shopapp.quotes.drafts.facts import DraftFacts
from shopapp.quotes.models import QuoteDraft
from shopapp.workshop.readers import the_workshop

from .letters import letter_of
from .readers import mail_of, way_of

Spend = Callable[[], None]
State = Enquiry.State


@dataclass(frozen=True)
class Asked:
    """What a visitor wrote: who they are, how they are answered, and what they ask."""

    name: str
    way: str
    words: str


def take_enquiry(*, asked: Asked, listing: Listing | None, root: str) -> Enquiry | None:
    """Write down what a visitor asks of ``listing``, or of the shop, and have the worker tell the maker. None where the
    very same was written today: a button pressed twice is one question. ``root`` is where visitors find the shop.

    No name stands in the audit."""
    with transaction.atomic():
        try:
            spend_key(_key_of(asked, listing))
        except AlreadySent:
            return None
        enquiry = Enquiry.objects.create(listing=listing, name=asked.name, way=asked.way, words=asked.words)
        write_audit(None, f"Somebody asked{_about(listing)} on the shop’s page.", enquiry)
        if post().ready and the_workshop().mail:
            enquiry.task = enqueue(tell_maker, enquiry.pk, root)
            enquiry.save(update_fields=["task"])
    return enquiry


def _key_of(asked: Asked, listing: Listing | None) -> str:
    """A one-use key that follows from what was written, and the day."""
    told = "\x1f".join((str(timezone.localdate()), str(listing and listing.pk), asked.name, asked.way, asked.words))
    return base64.urlsafe_b64encode(hashlib.sha256(told.encode()).digest()).decode().rstrip("=")


def _about(listing: Listing | None) -> str:
    return f" about {listing.title}" if listing else ""


@background(name="tell the maker of an enquiry")
def tell_maker(enquiry_id: int, root: str) -> None:
    """The worker's part. Should it be ended half-way it is done again: the maker may be told twice, a visitor never
    hears of it. Raises MailTrouble, whose words the enquiry's page shows."""
    enquiry = Enquiry.objects.select_related("listing__piece").get(pk=enquiry_id)
    shop = the_workshop()
    if not enquiry.words:
        return
    subject, words = letter_of(enquiry, root)
    send_letter(
        to=shop.mail,
        subject=subject,
        words=words,
        shop=shop.name,
        sent_from=shop.mail,
        reply_to=mail_of(enquiry.way),
    )


def tell_how_it_stands(
    *, who: Member | None, enquiry: Enquiry, state: str, seen_version: int, spend: Spend = lambda: None
) -> Enquiry:
    """Answered, set aside, or new again. Raises EditConflict where somebody else said so meanwhile."""
    owner_only(who)
    if state not in State.values:
        raise PlannerError("That is nothing an enquiry can be.", mend="Look at the page as it is now.")
    with transaction.atomic():
        spend()
        enquiry = Enquiry.objects.select_for_update().get(pk=enquiry.pk)
        check_version(enquiry, seen_version)
        enquiry.state = state
        enquiry.save(update_fields=["state", "changed_at"])
        bump_version(enquiry)
        write_audit(who, f"Enquiry {enquiry.pk} is {enquiry.get_state_display()}.", enquiry)
    return enquiry


def take_into_book(
    *, who: Member | None, enquiry: Enquiry, person: Person | str, spend: Spend = lambda: None
) -> Person:
    """Who asked is that person of the book, or somebody new, written down with the way they gave. What is known of
    somebody who is in it already is left as it stands. Raises PlannerError where it is somebody's by now."""
    owner_only(who)
    with transaction.atomic():
        spend()
        enquiry = Enquiry.objects.select_for_update().get(pk=enquiry.pk)
        if enquiry.person_id is not None:
            raise PlannerError("It is said already who asked.", mend="Look at the page as it is now.")
        if isinstance(person, Person):
            row = standing(person)
        else:
            kind = way_of(enquiry.way)
            ways = [(kind, mail_of(enquiry.way) if kind == Way.Kind.MAIL else enquiry.way)] if enquiry.way else []
            row = add_person(who=who, written=Written(person, ways=ways))
        enquiry.person = row
        enquiry.save(update_fields=["person", "changed_at"])
        bump_version(enquiry)
        write_audit(who, f"Enquiry {enquiry.pk} is from person {row.pk}.", enquiry)
    return row


def begin_quote(*, who: Member | None, enquiry: Enquiry, spend: Spend = lambda: None) -> QuoteDraft:
    """A quote begun for whoever asked, so far as they are in the book: of the same board where one was asked about
    whose plan is known and may be quoted, else without a board."""
    owner_only(who)
    listing, plans = enquiry.listing, []
    if listing is not None and (plan := listing.job.plan) is not None and not question_before(plan.design, "quote"):
        plans = [plan]
    with transaction.atomic():
        spend()
        facts = first_facts(the_workshop(), plans, title=listing.title if listing else "A board as asked for")
        person = enquiry.person if enquiry.person and enquiry.person.erased_at is None else None
        draft = begin_draft(who=who, facts=DraftFacts(**{**facts.__dict__, "person": person}), plans=plans)
        write_audit(who, f"A quote was begun from enquiry {enquiry.pk}.", enquiry)
    return draft


def forget_words(*, who: Member | None, enquiry: Enquiry, seen_version: int, spend: Spend = lambda: None) -> Enquiry:
    """Destroy name, way and words of an enquiry nobody of the book asked, such as one that is a mere nuisance."""
    owner_only(who)
    with transaction.atomic():
        spend()
        enquiry = Enquiry.objects.select_for_update().get(pk=enquiry.pk)
        check_version(enquiry, seen_version)
        if enquiry.person_id is not None:
            raise PlannerError("Whoever asked is in the book.", mend="Erase them from there, and this goes too.")
        enquiry.name, enquiry.way, enquiry.words, enquiry.state = "Somebody", "", "", State.ASIDE
        enquiry.save(update_fields=["name", "way", "words", "state", "changed_at"])
        bump_version(enquiry)
        write_audit(who, f"What enquiry {enquiry.pk} said was destroyed.", enquiry)
    return enquiry
