"""Changes to the records of glue, finish, clamps and jigs, each told in sentences."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.db import IntegrityError, transaction

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.fields import plain_number
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.models import Adhesive, Finish
from shopapp.workshop.models.materials import Material
from shopapp.workshop.readers import the_workshop
from shopapp.workshop.telling import from_to, lengths_apart

from .fields import said

Spend = Callable[[], None]
_CALLED = {
    "open": "open time",
    "assembly": "total assembly time",
    "clamped": "clamp time",
    "machining": "cure before machining",
    "sanding": "cure before sanding",
    "lowest_celsius": "lowest temperature in °C",
    "raisings": "times the grain is raised",
    "raised_dries": "drying of raised grain",
    "wipe_within": "time until it is wiped",
    "recoat": "time to the next coat",
    "drying": "a drying oil",
    "count": "how many there are",
    "longest": "longest row",
    "source": "where it is from",
    "source_on": "day it was read",
    "kept": "used here",
}
_MINUTES = {
    Adhesive: {"open", "assembly", "clamped", "machining", "sanding"},
    Finish: {"raised_dries", "soak", "wipe_within", "recoat", "cure"},
}


def add_material(
    *, who: Member | None, model: type[Material], values: Mapping[str, object], spend: Spend = lambda: None
) -> Material:
    """Raises PlannerError where one of that kind has the name already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        row = model(**values)
        _save(row)
        write_audit(who, f"{row.name} was written down among the shop's {_many(model)}.", row)
    return row


def change_material(
    *, who: Member, row: Material, values: Mapping[str, object], seen_version: int, spend: Spend = lambda: None
) -> Material:
    """Raises EditConflict when somebody else changed it meanwhile."""
    owner_only(who)
    with transaction.atomic():
        spend()
        row = type(row).objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        called, told, unit = row.name, [], the_workshop().unit
        for name, value in values.items():
            before = getattr(row, name)
            if before != value:
                told.append(f"{called}: {from_to(_CALLED.get(name, name), *_shown(row, name, before, value, unit))}")
                setattr(row, name, value)
        _save(row)
        bump_version(row)
        for sentence in told:
            write_audit(who, sentence, row)
    return row


def _save(row: Material) -> None:
    other = type(row).objects.filter(name__iexact=row.name).exclude(pk=row.pk).first()
    if other is None:
        try:
            with transaction.atomic():
                row.save()
        except IntegrityError as error:
            raise _taken(row.name) from error
    else:
        raise _taken(other.name if other.kept else f"{other.name}, set aside,")


def _taken(name: str) -> PlannerError:
    return PlannerError(f"{name} is in the book already.", mend="Give this one another name.", field="name")


def _many(model: type[Material]) -> str:
    return {"adhesive": "glues", "finish": "finishes", "clampkind": "clamps"}.get(model._meta.model_name, "row jigs")


def _shown(row: Material, name: str, before: object, after: object, unit: str) -> tuple[str, str]:
    if isinstance(before, Length) and isinstance(after, Length):
        return lengths_apart(before, after, unit)
    return _one(row, name, before), _one(row, name, after)


def _one(row: Material, name: str, value: object) -> str:
    if value in (None, ""):
        return "never" if name == "cure" else "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if name in _MINUTES.get(type(row), ()):
        return said(value)
    return plain_number(value, 1) if name == "lowest_celsius" else str(value)
