"""Whom the shop knows: found by any word of theirs, and who may be meant by a name."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Prefetch, Q, QuerySet

from shopapp.people.models import Person, Way
from shopapp.people.words import folded, searched

A_PAGE = 50
MOST_FOUND = 6
_MOST_LOOKED_AT = 200


def known() -> QuerySet[Person]:
    """Everybody in the book, by name; who was erased is in it no more."""
    return Person.objects.filter(erased_at=None).order_by("folded", "pk")


def found(asked: str) -> QuerySet[Person]:
    """Those of whom every word of ``asked`` is written somewhere: in the name, a way, the address, the notes."""
    rows = known()
    for word in searched(asked):
        rows = rows.filter(folded__contains=word)
    return rows.prefetch_related(Prefetch("ways", Way.objects.order_by("place", "pk")))


def named_alike(name: str, besides: Person | None = None) -> list[Person]:
    """Those whose name is this one, or has all its words, or is all in it: "Wren" and "Wren Attwater". Two queries."""
    words = set(folded(name).split())
    if not words:
        return []
    any_word = Q()
    for word in list(words)[:12]:
        any_word |= Q(folded__contains=word)
    rows = known().filter(any_word).exclude(pk=besides.pk if besides else None)[:_MOST_LOOKED_AT]
    alike = [row for row in rows.prefetch_related("ways") if _alike(words, set(folded(row.name).split()))]
    return sorted(alike, key=lambda row: folded(row.name) != folded(name))


def _alike(one: set[str], other: set[str]) -> bool:
    return bool(other) and (one <= other or other <= one)


@dataclass(frozen=True)
class Candidate:
    """Somebody who may be meant, with what tells them from others of that name."""

    pk: int
    name: str
    hint: str


def candidates(rows: list[Person]) -> list[Candidate]:
    return [Candidate(row.pk, row.name, hint_of(row)) for row in rows[:MOST_FOUND]]


def hint_of(person: Person) -> str:
    """The first way to reach them and the first line of their address."""
    ways = [way.words for way in person.ways.all()][:1]
    return " · ".join([*ways, *person.address.splitlines()[:1]])
