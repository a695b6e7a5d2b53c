"""Rows that have a name and nobody of the book behind it, as they were written before there was one, or in haste.
Whether they are a person's the owner says, row by row; nothing is guessed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.db import models, transaction

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.numbers import whole_number

from .book import Happening
from .known.actions import standing
from .models import Member, Person
from .permissions import owner_only
from .words import folded

MOST = 50


@dataclass(frozen=True)
class Kind:
    """Rows of ``model`` that have a ``person`` and keep the name in ``field``; how one is told of."""

    model: type[models.Model]
    field: str
    told: Callable[[models.Model], Happening]


_KINDS: dict[str, Kind] = {}


def register(word: str, model: type[models.Model], field: str, told: Callable[[models.Model], Happening]) -> None:
    """Take up a kind of row under a ``word`` of its own. Where the model is append-only, ``person`` is among the
    columns that may change."""
    _KINDS[word] = Kind(model, field, told)


def loose_rows(person: Person) -> list[tuple[str, Happening]]:
    """Rows with the person's name and nobody behind it, each with the key it is taken up by. A query a kind."""
    return [
        (f"{word} {row.pk}", kind.told(row))
        for word, kind in _KINDS.items()
        for row in _named(kind, person.name)[:MOST]
    ]


def _named(kind: Kind, name: str) -> models.QuerySet:
    return kind.model._base_manager.filter(person=None, **{f"{kind.field}__iexact": name}).order_by("pk")


def take_up(*, who: Member | None, person: Person, key: str, spend: Callable[[], None] = lambda: None) -> str:
    """Put ``person`` behind the row of ``key``; returns what the row is called. Raises PlannerError where the row is
    somebody's by now, or has another name."""
    owner_only(who)
    word, _, text = key.rpartition(" ")
    with transaction.atomic():
        spend()
        person = standing(person)
        kind, number = _KINDS.get(word), whole_number(text)
        known = kind is not None and number is not None
        row = kind.model._base_manager.filter(pk=number, person=None).first() if known else None
        if row is None or folded(getattr(row, kind.field)) != folded(person.name):
            raise PlannerError("That row is not without its person any more.", mend="Look at the page as it is now.")
        kind.model._base_manager.filter(pk=row.pk, person=None).update(person=person)
        write_audit(who, f"It is person {person.pk} who is named there.", row)
    return kind.told(row).words
