"""What becomes of a listing is told by an event, in the transaction that does it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, write_audit
from shopapp.people.models import Member, Person

from .models import Listing, ListingEvent, Sale

Spend = Callable[[], None]


class ListingMoved(PlannerError):
    """The piece is not where the page that was open thought."""


def locked(listing: Listing, seen_version: int | None = None) -> Listing:
    """The listing's row, held until the transaction ends. Raises ListingMoved where it was changed since it was seen;
    None was not looked at."""
    listing = Listing.objects.select_for_update().get(pk=listing.pk)
    if seen_version is not None and listing.edit_version != seen_version:
        raise ListingMoved(f"{listing.title} was changed meanwhile.", mend="Look at it as it is now.")
    return listing


def turn(
    who: Member | None, listing: Listing, state: str, words: str, *, plain: str, on: date | None = None,
    person: Person | None = None, sale: Sale | None = None, held_until: date | None = None,
) -> ListingEvent:  # fmt: skip
    """A held listing is in another state from now on."""
    listing.state, listing.held_until = state, held_until
    listing.save(update_fields=["state", "held_until", "changed_at"])
    bump_version(listing)
    return tell(who, listing, words, plain=plain, on=on, person=person, sale=sale)


def tell(
    who: Member | None, listing: Listing, words: str, *, plain: str, on: date | None = None,
    person: Person | None = None, sale: Sale | None = None,
) -> ListingEvent:  # fmt: skip
    """``plain`` is the sentence without money or names. What was got is the price of ``sale``, carriage left out."""
    got: Decimal | None = sale.price if sale is not None else None
    event = ListingEvent.objects.create(
        listing=listing,
        who=who,
        state=listing.state,
        on=on or timezone.localdate(),
        person=person,
        to_whom=person.name if person else "",
        got=got,
        sale=sale,
        words=words[:400],
        plain_words=plain[:400],
    )
    write_audit(who, words, listing)
    return event
