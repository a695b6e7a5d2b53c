"""The book's own part of what the shop holds of a person: their row and the ways to reach them."""

from __future__ import annotations

from typing import Any

from shopapp.common.erasing import strike_audit
from shopapp.people.book import Happening, register
from shopapp.people.models import Person

EXPLAINS = {
    "name": "The name they are called by.",
    "ways": "Ways to reach them, in the shop’s order: a kind (mail, phone or other) and the words.",
    "address": "Where they live, or where things are sent.",
    "notes": "What the shop noted of them.",
    "written_on": "The day they were first written into the book, as year-month-day.",
}


def history(person: Person) -> list[Happening]:
    """That somebody was written down is nothing they had."""
    return []


def out(person: Person) -> dict[str, Any]:
    if person.erased_at is not None:
        return {}
    return {
        "name": person.name,
        "ways": [{"kind": way.kind, "words": way.words} for way in person.ways.all()],
        "address": person.address,
        "notes": person.notes,
        "written_on": person.created_at.date().isoformat(),
    }


def goes(person: Person) -> list[str]:
    if person.erased_at is not None:
        return []
    return ["The name, the ways to reach them, the address and the notes in this book."]


def forget(person: Person, instead: str) -> list[str]:
    told = goes(person)
    if told:
        strike_audit([person], [person.name], instead)
        person.ways.all().delete()
        Person.objects.filter(pk=person.pk).update(name="", address="", notes="", folded="")
    return told


def keeps(person: Person) -> str:
    return ""


def take_part() -> None:
    register("people", history=history, out=out, forget=forget, keeps=keeps, goes=goes, explains=EXPLAINS)
