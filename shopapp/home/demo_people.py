"""Whom Reedbank Workshop makes things for: a customer, an aunt, somebody from the landing. Everybody is invented; the
numbers are of those that Ofcom keeps for drama (01632 960000 to 960999), which ring nowhere."""

from __future__ import annotations

from shopapp.people.known.actions import Written, add_person
from shopapp.people.models import Member, Person, Way

Kind = Way.Kind
PEOPLE = (
    Written(
        "Wren Attwater",
        "The Boathouse\nCreek Lane 4\nReedbank",
        "Has the stove wall in mind, 70 cm wide at most. Rather by phone than by mail.",
        [(Kind.PHONE, "01632 960 118"), (Kind.MAIL, "wren@boathouse.example")],
    ),
    Written(
        "Aunt Sedge",
        "Upper Quay 11\nReedbank",
        "Her birthday is when the teasels stand.",
        [(Kind.PHONE, "01632 960 142")],
    ),
    Written(
        "Ebb Harrow",
        "The Landing 2\nSaltmarsh",
        "",
        [(Kind.MAIL, "ebb.harrow@landing.example"), (Kind.OTHER, "ask at the ferry, Tuesdays")],
    ),
)


def fill_people(who: Member) -> None:
    for written in PEOPLE:
        add_person(who=who, written=written)


def somebody_called(name: str) -> Person:
    return Person.objects.get(name=name)
