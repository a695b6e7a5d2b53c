"""What enquiries have in the book of a person: what they asked on the shop's page."""

from __future__ import annotations

from typing import Any

from django.db.models import QuerySet
from django.urls import reverse

from shopapp.listings.models import Enquiry
from shopapp.people import loose
from shopapp.people.book import Happening, register
from shopapp.people.models import Person

EXPLAINS = {
    "asked": "What they asked on the shop's page: when, the name and the way to answer they gave, about which "
    "piece, in which words, and what became of it.",
}


def _theirs(person: Person) -> QuerySet[Enquiry]:
    """What they asked, and is not forgotten yet."""
    return Enquiry.objects.filter(person=person).exclude(words="").select_related("listing").order_by("pk")


def _told(one: Enquiry) -> Happening:
    about = f" about {one.listing.title}" if one.listing else ""
    page = reverse("listings:enquiry", args=[one.pk])
    return Happening(one.created_at, f"They asked{about} on the shop’s page.", page)


def history(person: Person) -> list[Happening]:
    return [_told(one) for one in _theirs(person)]


def out(person: Person) -> dict[str, Any]:
    asked = [
        {
            "at": one.created_at.isoformat(),
            "name": one.name,
            "way": one.way,
            "about": one.listing.title if one.listing else "",
            "words": one.words,
            "became": one.state,
        }
        for one in _theirs(person)
    ]
    return {"asked": asked} if asked else {}


def goes(person: Person) -> list[str]:
    count = _theirs(person).count()
    return [f"What they asked on the shop’s page, {count} time{'' if count == 1 else 's'}."] if count else []


def forget(person: Person, instead: str) -> list[str]:
    told = goes(person)
    _theirs(person).update(name=instead, way="", words="")
    return told


def keeps(person: Person) -> str:
    return ""


def take_part() -> None:
    register("enquiries", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
    loose.register("enquiry", Enquiry, "name", _told)
