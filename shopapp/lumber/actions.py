"""Changes to the woods on hand."""

from __future__ import annotations

from collections.abc import Callable

from django.core.exceptions import PermissionDenied
from django.db import transaction

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.people.models import Member

from .models import WoodOnHand


def add_wood(*, who: Member | None, values: dict[str, object], spend: Callable[[], None] = lambda: None) -> WoodOnHand:
    """Put a wood of the table among those on hand. Raises PlannerError when it is there already."""
    _owner_only(who)
    with transaction.atomic():
        spend()
        if WoodOnHand.objects.filter(wood=values["wood"]).exists():
            raise PlannerError("This wood is already among yours.", mend="Bring it back or change it.", field="wood")
        row = WoodOnHand.objects.create(**values)
        write_audit(who, f"{row.name} was added to the woods on hand.", row)
    return row


def change_wood(
    *,
    who: Member,
    row: WoodOnHand,
    values: dict[str, object],
    seen_version: int,
    spend: Callable[[], None] = lambda: None,
) -> WoodOnHand:
    _owner_only(who)
    with transaction.atomic():
        spend()
        row = WoodOnHand.objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        told = [name.replace("_", " ") for name, value in values.items() if getattr(row, name) != value]
        if "finished rgb" in told:
            row.colour_is_stand_in = False
        for name, value in values.items():
            setattr(row, name, value)
        row.save()
        bump_version(row)
        if told:
            write_audit(who, f"{row.name} was changed: {', '.join(told)}.", row)
    return row


def put_on_hand(*, who: Member, row: WoodOnHand, on_hand: bool, spend: Callable[[], None] = lambda: None) -> WoodOnHand:
    """Set a wood aside or bring it back. Raises PlannerError when its mark was given to another meanwhile."""
    _owner_only(who)
    with transaction.atomic():
        spend()
        row = WoodOnHand.objects.select_for_update().get(pk=row.pk)
        if on_hand and (other := WoodOnHand.objects.filter(on_hand=True, mark=row.mark).exclude(pk=row.pk).first()):
            raise PlannerError(
                f"{other.name} has the mark of {row.name} now.", mend=f"Give {other.name} another mark first."
            )
        row.on_hand = on_hand
        row.save()
        bump_version(row)
        write_audit(who, f"{row.name} was {'brought back' if on_hand else 'set aside'}.", row)
    return row


def _owner_only(who: Member | None) -> None:
    if who is not None and not who.is_owner:
        raise PermissionDenied
