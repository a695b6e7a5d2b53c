"""What finished pieces have in the book of a person: those they bought or were given."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.urls import reverse

from shopapp.common.erasing import strike_audit, struck
from shopapp.people import loose
from shopapp.people.book import Happening, register
from shopapp.people.models import Person

from .models import ListingEvent

EXPLAINS = {
    "pieces": "Finished pieces that went to them: what became of each (sold or given), on which day, what was got for "
    "it and in which currency, and the sentence that was written then.",
}


def _named(person: Person) -> QuerySet[ListingEvent]:
    """What went to them and still says so; where they were forgotten another name stands."""
    rows = ListingEvent.objects.filter(person=person).select_related("listing").order_by("pk")
    return rows if person.erased_at is None else rows.exclude(to_whom=str(person))


def history(person: Person) -> list[Happening]:
    return [Happening(one.at, one.words, one.listing.get_absolute_url()) for one in _named(person)]


def out(person: Person) -> dict[str, Any]:
    pieces = [
        {
            "title": one.listing.title,
            "became": one.state,
            "on": one.on.isoformat(),
            "to_whom": one.to_whom,
            "got": None if one.got is None else str(one.got),
            "currency": one.listing.currency_symbol,
            "words": one.words,
        }
        for one in _named(person)
    ]
    return {"pieces": pieces} if pieces else {}


def goes(person: Person) -> list[str]:
    count = _named(person).count()
    return [f"Their name on {count} piece{'' if count == 1 else 's'} they bought or were given."] if count else []


def forget(person: Person, instead: str) -> list[str]:
    told, rows = goes(person), list(_named(person))
    for one in rows:
        names = {person.name, one.to_whom}
        ListingEvent.objects.filter(pk=one.pk).update(
            to_whom=instead,
            words=struck(one.words, names, instead)[:400],
            plain_words=struck(one.plain_words, names, instead)[:400],
        )
    strike_audit([one.listing for one in rows], {person.name, *(one.to_whom for one in rows)}, instead)
    return told


def keeps(person: Person) -> str:
    return ""


def take_part() -> None:
    register("listings", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
    loose.register("piece", ListingEvent, "to_whom", _told)


def _told(one: ListingEvent) -> Happening:
    return Happening(one.at, one.words, reverse("listings:listing", args=[one.listing_id]))
