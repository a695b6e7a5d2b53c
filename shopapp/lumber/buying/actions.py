"""Changes to who wood is bought from. What was bought goes into the book by stock.buying."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.fields import plain_number
from shopapp.lumber.models import Supplier
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.telling import from_to

_CALLED = {
    "name": "name",
    "rule": "how they count",
    "thin_as_inch": "thin stock as an inch",
    "tax": "tax",
    "tax_included": "tax held in their prices",
    "note": "note",
}


def add_supplier(
    *, who: Member | None, values: Mapping[str, object], spend: Callable[[], None] = lambda: None
) -> Supplier:
    """Raises PlannerError when somebody of that name is in the book already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        _told_apart(str(values["name"]))
        supplier = Supplier.objects.create(**values)
        write_audit(who, f"{supplier.name} was added to those wood is bought from.", supplier)
    return supplier


def change_supplier(
    *,
    who: Member,
    supplier: Supplier,
    values: Mapping[str, object],
    seen_version: int,
    spend: Callable[[], None] = lambda: None,
) -> Supplier:
    """Write how a supplier counts from now on; what was booked keeps the rule of its day. Raises EditConflict when
    somebody else changed it meanwhile, PlannerError when the new name is another's."""
    owner_only(who)
    with transaction.atomic():
        spend()
        supplier = Supplier.objects.select_for_update().get(pk=supplier.pk)
        check_version(supplier, seen_version)
        _told_apart(str(values["name"]), besides=supplier)
        called = supplier.name
        told = []
        for name, value in values.items():
            if getattr(supplier, name) == value:
                continue
            before = _shown(supplier, name)
            setattr(supplier, name, value)
            told.append(f"{called}: {from_to(_CALLED[name], before, _shown(supplier, name))}")
        supplier.save()
        bump_version(supplier)
        for sentence in told:
            write_audit(who, sentence, supplier)
    return supplier


def _told_apart(name: str, *, besides: Supplier | None = None) -> None:
    if other := Supplier.objects.filter(name__iexact=name).exclude(pk=besides.pk if besides else None).first():
        raise PlannerError(f"{other.name} is in the book already.", mend="Give this one another name.", field="name")


def _shown(supplier: Supplier, name: str) -> str:
    value = getattr(supplier, name)
    if name == "rule":
        return str(supplier.get_rule_display())
    if name == "tax":
        return f"{plain_number(value * 100)} %"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) or "nothing"
