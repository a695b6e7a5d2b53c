"""Changes to the book of people. What is told of them in the audit has no name in it: it stays when they are erased."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.people.models import Member, Person, Way
from shopapp.people.permissions import owner_only
from shopapp.people.words import folded_book

Spend = Callable[[], None]


class PersonGone(PlannerError):
    """Somebody who was erased meanwhile."""


@dataclass(frozen=True)
class Written:
    """What is written of a person; ``ways`` are pairs of a kind and the words, in their order."""

    name: str
    address: str = ""
    notes: str = ""
    ways: Sequence[tuple[str, str]] = ()


def add_person(*, who: Member | None, written: Written, spend: Spend = lambda: None) -> Person:
    owner_only(who)
    with transaction.atomic():
        spend()
        person = Person(name=written.name)
        _write(person, written)
        write_audit(who, f"Person {person.pk} was written into the book.", person)
    return person


def change_person(
    *, who: Member | None, person: Person, written: Written, seen_version: int, spend: Spend = lambda: None
) -> Person:
    """Raises EditConflict where somebody else changed the row since, PersonGone where they were erased."""
    owner_only(who)
    with transaction.atomic():
        spend()
        person = standing(person)
        check_version(person, seen_version)
        _write(person, written)
        bump_version(person)
        write_audit(who, f"What is written of person {person.pk} was changed.", person)
    return person


def standing(person: Person) -> Person:
    """The row as it stands, held until the transaction is done. Raises PersonGone."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.erased_at is not None:
        raise PersonGone(
            "They were erased meanwhile, and nothing is written of them any more.", mend="Look at the book."
        )
    return person


def person_of(who: Member | None, chosen: Person | str | None) -> Person | None:
    """Whom a `PersonField` was answered with: who was chosen, or a new row of a name that was typed. To be called
    inside the transaction of the form's own action. Raises PersonGone."""
    if not chosen:
        return None
    if isinstance(chosen, Person):
        return standing(chosen)
    return add_person(who=who, written=Written(chosen))


def _write(person: Person, written: Written) -> None:
    person.name, person.address, person.notes = written.name, written.address, written.notes
    person.folded = folded_book(written.name, [words for _, words in written.ways], written.address, written.notes)
    person.save()
    person.ways.all().delete()
    Way.objects.bulk_create(
        Way(person=person, place=place, kind=kind, words=words)
        for place, (kind, words) in enumerate(written.ways, start=1)
    )
