"""Erasing a person: in one transaction every app forgets them, and a dated tombstone with a hash is what is left."""

from __future__ import annotations

import json

from django.apps import apps
from django.db import models, transaction
from django.db.models import Q
from django.db.models.functions import Cast
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import write_audit
from shopapp.common.erasing import leave_no_trace, strike_audit_everywhere, struck
from shopapp.people.book import forget_everywhere, kept_of
from shopapp.people.models import Erasure, Member, Person, Way, instead_of
from shopapp.people.permissions import owner_only
from shopapp.people.words import folded

from .actions import Spend
from .out import hash_of
from .readers import known

# What is typed where a name is there no more.
AGAIN = "erase"


class NotConfirmed(PlannerError):
    """What was typed is not the name of who is to be erased."""


def erase_person(*, who: Member | None, person: Person, typed: str, spend: Spend = lambda: None) -> Erasure:
    """Destroy every name, word and file of ``person`` that need not stay. ``typed`` is their name once more; where they
    were erased before and something had to stay, the word "erase". Raises NotConfirmed.

    Files' bytes go once the transaction is done.
    """
    owner_only(who)
    with transaction.atomic():
        spend()
        person = Person.objects.select_for_update().get(pk=person.pk)
        name, first = person.name, person.erased_at is None
        if folded(typed) != folded(name if first else AGAIN):
            raise NotConfirmed(
                "This is not what is to be typed.", mend=f"Type {name if first else AGAIN}.", field="typed"
            )
        now = timezone.now()
        instead = instead_of(person.erased_at or now)
        sha256, kept = hash_of(person), kept_of(person)
        gone = [struck(words, [name], instead) for words in forget_everywhere(person, instead)]
        if first:
            kept += _elsewhere(name, instead)
            Person.objects.filter(pk=person.pk).update(
                erased_at=now, erased_sha256=sha256, changed_at=now, edit_version=models.F("edit_version") + 1
            )
        erasure = Erasure.objects.create(
            person=person, who=who, sha256=sha256, gone="\n".join(gone), kept="\n".join(kept)
        )
        write_audit(who, f"Person {person.pk} was erased.", person)
        leave_no_trace()
    return erasure


def _elsewhere(name: str, instead: str) -> list[str]:
    """The whole name in what is told of other things goes too, and where else it stands is said. A name of one word is
    a word of the trade as likely (Ash, Rowan), and one that somebody else has is theirs: those are left alone."""
    if len(name.split()) < 2 or any(folded(row.name) == folded(name) for row in known()):
        return []
    strike_audit_everywhere(name, instead)
    return [
        f"The same words stand in {count} row{'' if count == 1 else 's'} of the shop’s {what}: look whether they are "
        "meant there."
        for what, count in still_standing(name).items()
    ]


def still_standing(name: str) -> dict[str, int]:
    """In how many rows of what kind ``name`` is written, in the whole database. A query a kind."""
    # As it is written, and as JSON may write it.
    ways = {name, json.dumps(name)[1:-1]}
    found = {}
    for model in apps.get_models():
        fields = model._meta.concrete_fields
        texts = [field.name for field in fields if isinstance(field, models.CharField | models.TextField)]
        jsons = [field.name for field in fields if isinstance(field, models.JSONField)]
        told = {f"text_of_{one}": Cast(one, models.TextField()) for one in jsons}
        if not (texts or told) or model in (Person, Way, Member):
            continue
        anywhere = Q()
        for text in (*texts, *told):
            for way in ways:
                anywhere |= Q(**{f"{text}__icontains": way})
        if count := model._base_manager.annotate(**told).filter(anywhere).count():
            found[str(model._meta.verbose_name_plural)] = count
    return found


def erased_wrongly() -> list[str]:
    """For `manage.py verify`: rows of erased people that hold anything of them, or no day or hash; and the others
    that are not found by what is written of them."""
    from shopapp.people.words import folded_book

    faults = []
    for person in Person.objects.prefetch_related("ways", "erasures").iterator(chunk_size=500):
        ways = [way.words for way in person.ways.all()]
        if person.erased_at is None:
            if person.erased_sha256 or person.erasures.all():
                faults.append(f"Person {person.pk} has a hash of an erasure and no day.")
            if person.folded != folded_book(person.name, ways, person.address, person.notes):
                faults.append(f"Person {person.pk} is not found by what is written of them.")
            continue
        if person.name or person.address or person.notes or person.folded or ways:
            faults.append(f"Person {person.pk} was erased, and something is still written of them.")
        hashes = [erasure.sha256 for erasure in person.erasures.all()]
        if len(person.erased_sha256) != 64 or hashes[:1] != [person.erased_sha256]:
            faults.append(f"Person {person.pk} was erased, and the hash of what was destroyed is not there.")
    return faults
