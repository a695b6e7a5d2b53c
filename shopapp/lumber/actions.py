"""Changes to the woods on hand."""

from __future__ import annotations

from collections.abc import Callable

from django.db import transaction

from planner.errors import PlannerError
from planner.measures import Length
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.models import Workshop
from shopapp.workshop.readers import the_workshop
from shopapp.workshop.telling import amount, from_to, lengths_apart

from .colours.actions import note_colour
from .models import WoodOnHand


def add_wood(*, who: Member | None, values: dict[str, object], spend: Callable[[], None] = lambda: None) -> WoodOnHand:
    """Put a wood of the table among those on hand. Raises PlannerError when it is there already, or when its name
    or its mark is another's."""
    owner_only(who)
    with transaction.atomic():
        spend()
        if WoodOnHand.objects.filter(wood=values["wood"]).exists():
            raise PlannerError("This wood is already among yours.", mend="Bring it back or change it.", field="wood")
        _told_apart(str(values["name"]), str(values["mark"]))
        row = WoodOnHand.objects.create(**values)
        if not row.colour_is_stand_in:
            note_colour(row, who=who, rgb=row.finished_rgb)
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
    """Write what was typed of a wood, each change told in a sentence. Raises EditConflict when somebody else changed
    it meanwhile, PlannerError when its new name or mark is another's."""
    owner_only(who)
    with transaction.atomic():
        spend()
        row = WoodOnHand.objects.select_for_update().get(pk=row.pk)
        check_version(row, seen_version)
        _told_apart(str(values["name"]), str(values["mark"]), besides=row, on_hand=row.on_hand)
        changed = {name: value for name, value in values.items() if getattr(row, name) != value}
        told = _changes_told(row, changed, the_workshop())
        if "finished_rgb" in changed:
            row.colour_is_stand_in = False
        for name, value in changed.items():
            setattr(row, name, value)
        row.save()
        if "finished_rgb" in changed:
            note_colour(row, who=who, rgb=row.finished_rgb)
        bump_version(row)
        for sentence in told:
            write_audit(who, sentence, row)
    return row


def put_on_hand(*, who: Member, row: WoodOnHand, on_hand: bool, spend: Callable[[], None] = lambda: None) -> WoodOnHand:
    """Set a wood aside or bring it back. Raises PlannerError when its mark was given to another meanwhile."""
    owner_only(who)
    with transaction.atomic():
        spend()
        row = WoodOnHand.objects.select_for_update().get(pk=row.pk)
        if on_hand and (other := WoodOnHand.objects.filter(on_hand=True, mark=row.mark).exclude(pk=row.pk).first()):
            raise PlannerError(
                f"{other.name} has the mark of {row.name} now.", mend=f"Give {other.name} another mark first."
            )
        if row.on_hand == on_hand:
            return row
        row.on_hand = on_hand
        row.save()
        bump_version(row)
        write_audit(who, f"{row.name} was {'brought back' if on_hand else 'set aside'}.", row)
    return row


def _told_apart(name: str, mark: str, *, besides: WoodOnHand | None = None, on_hand: bool = True) -> None:
    """Woods are told apart by name and mark as well as by colour, so no two share one."""
    others = WoodOnHand.objects.exclude(pk=besides.pk if besides else None)
    if other := others.filter(name__iexact=name).first():
        raise PlannerError(f"Another of your woods is called {other.name}.", mend="Give it another name.", field="name")
    if on_hand and (other := others.filter(on_hand=True, mark=mark).first()):
        raise PlannerError(f"{other.name} has this mark already.", mend="Choose another.", field="mark")


# Where a field's own name would say too little.
_CALLED = {
    "per": "what it is priced by",
    "rough_thickness": "usual rough thickness",
    "rough_width": "usual width",
    "finished_rgb": "colour when oiled",
}


def _changes_told(row: WoodOnHand, changed: dict[str, object], shop: Workshop) -> list[str]:
    """A sentence for each change; ``row`` still stands as it was."""
    told = []
    for name, value in changed.items():
        before = getattr(row, name)
        if isinstance(value, Length):
            shown = lengths_apart(before, value, shop.unit)
        elif name == "price":
            shown = amount(before, shop), amount(value, shop)
        elif name == "per":
            shown = row.get_per_display(), WoodOnHand.Per(value).label
        else:
            shown = str(before), str(value)
        told.append(f"{row.name}: {from_to(_CALLED.get(name, name), *shown)}")
    return told
