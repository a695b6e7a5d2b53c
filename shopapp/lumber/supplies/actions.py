"""What happens to a consumable: bought, used, counted, undone. Each is an entry; none is ever changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction

from django.db import transaction
from django.utils import timezone

from planner.errors import PlannerError
from shopapp.common.actions import bump_version, check_version, write_audit
from shopapp.common.fields import MOST_MONEY, plain_number
from shopapp.lumber.models import Demand, Supplier, Supply, SupplyEntry
from shopapp.people.models import Member
from shopapp.people.permissions import owner_only
from shopapp.workshop.readers import the_workshop
from shopapp.workshop.telling import from_to

from . import planning

Spend = Callable[[], None]
Kind = SupplyEntry.Kind
# What the column of an amount holds.
MOST_AMOUNT = Decimal("999999999.999")
_CALLED = {"name": "name", "kind": "kind", "place": "place", "low": "time to buy below", "kept": "kept"}


def add_supply(*, who: Member | None, values: Mapping[str, object], spend: Spend = lambda: None) -> Supply:
    """Raises PlannerError when something of that name is in the book already."""
    owner_only(who)
    with transaction.atomic():
        spend()
        _told_apart(str(values["name"]))
        supply = Supply.objects.create(**values)
        write_audit(who, f"{supply.name} was added to the consumables, kept in {supply.get_unit_display()}.", supply)
    return supply


def change_supply(
    *, who: Member, supply: Supply, values: Mapping[str, object], seen_version: int, spend: Spend = lambda: None
) -> Supply:
    """Change what a consumable is called, where it lies and when to buy it; its unit stays, for its entries are in it.
    Raises EditConflict when somebody else changed it meanwhile."""
    owner_only(who)
    with transaction.atomic():
        spend()
        supply = Supply.objects.select_for_update().get(pk=supply.pk)
        check_version(supply, seen_version)
        _told_apart(str(values["name"]), besides=supply)
        called, told = supply.name, []
        for name in _CALLED:
            if name in values and getattr(supply, name) != values[name]:
                before = _shown(supply, name)
                setattr(supply, name, values[name])
                told.append(f"{called}: {from_to(_CALLED[name], before, _shown(supply, name))}")
        supply.save()
        bump_version(supply)
        for sentence in told:
            write_audit(who, sentence, supply)
    return supply


def buy_supply(
    *,
    who: Member | None,
    supply: Supply,
    amount: Decimal,
    cost: Decimal,
    on: date,
    supplier: Supplier | None = None,
    spend: Spend = lambda: None,
) -> SupplyEntry:
    """More of it was bought for ``cost`` in all."""
    owner_only(who)
    with transaction.atomic():
        supply, held = _as_it_stands(supply, spend)
        after = planning.bought(held, amount, cost)
        said = f"{_said(supply, amount)} of {supply.name} bought"
        words = f"{said}{f' from {supplier.name}' if supplier else ''}."
        return _write(supply, after, who=who, kind=Kind.BOUGHT, on=on, words=words, supplier=supplier)


def use_supply(
    *,
    who: Member | None,
    supply: Supply,
    amount: Decimal,
    on: date,
    demand: Demand | None = None,
    spend: Spend = lambda: None,
) -> SupplyEntry:
    """Some of it was used; it takes its share of the worth with it. Raises PlannerError when less is held."""
    with transaction.atomic():
        supply, held = _as_it_stands(supply, spend)
        after = planning.used(held, amount, the_workshop().currency_exponent)
        words = f"{_said(supply, amount)} of {supply.name} used{f' for {demand.label}' if demand else ''}."
        return _write(supply, after, who=who, kind=Kind.USED, on=on, words=words, demand=demand)


def count_supply(
    *, who: Member | None, supply: Supply, amount: Decimal, on: date, spend: Spend = lambda: None
) -> SupplyEntry | None:
    """``amount`` is there, whatever the book has. None when the book agrees."""
    with transaction.atomic():
        supply, held = _as_it_stands(supply, spend)
        if amount == held.amount:
            return None
        after = planning.counted(held, amount, the_workshop().currency_exponent)
        words = f"{_said(supply, amount)} of {supply.name} counted; the book had {_said(supply, held.amount)}."
        return _write(supply, after, who=who, kind=Kind.COUNTED, on=on, words=words)


def undo_supply_entry(*, who: Member, entry: SupplyEntry, spend: Spend = lambda: None) -> SupplyEntry:
    """Undo an entry by another: what it brought goes again, what it took comes back at the worth it left with.

    Raises PlannerError when it was undone already, or when what it brought was used since.
    """
    if entry.kind in (Kind.BOUGHT, Kind.UNDONE):
        owner_only(who)
    with transaction.atomic():
        supply, held = _as_it_stands(entry.supply, spend)
        if entry.kind == Kind.UNDONE:
            raise PlannerError("What undoes another entry is not undone itself.", mend="Do the thing again instead.")
        if SupplyEntry.objects.filter(undoes=entry).exists():
            raise PlannerError("This entry was undone already.", mend="Nothing more is to be done.")
        amount, worth = held.amount - entry.amount, held.worth - entry.worth
        if amount < 0 or worth < 0 or (worth and not amount):
            raise PlannerError(
                f"What this brought of {supply.name} was used since.", mend="Undo what came after it first."
            )
        after = planning.Held(amount, worth)
        return _write(
            supply, after, who=who, kind=Kind.UNDONE, on=timezone.localdate(), words=f"Undone: {entry.words}",
            undoes=entry, supplier=entry.supplier, demand=entry.demand,
        )  # fmt: skip


def _as_it_stands(supply: Supply, spend: Spend) -> tuple[Supply, planning.Held]:
    """The row under the transaction's lock, once the form's key is spent, and what is held of it."""
    spend()
    supply = Supply.objects.select_for_update().get(pk=supply.pk)
    return supply, planning.Held(supply.amount, supply.worth)


def _write(supply: Supply, after: planning.Held, *, words: str, who: Member | None, **facts: object) -> SupplyEntry:
    """The entry, with what it changed, and the supply brought into line with it."""
    if after.amount > MOST_AMOUNT or after.worth > MOST_MONEY:
        raise PlannerError("That is more than this book can hold.", mend="Look at the amount and the cost again.")
    entry = SupplyEntry.objects.create(
        supply=supply,
        who=who,
        words=words[:400],
        amount=after.amount - supply.amount,
        worth=after.worth - supply.worth,
        amount_after=after.amount,
        worth_after=after.worth,
        **facts,
    )
    supply.amount, supply.worth = after.amount, after.worth
    supply.save(update_fields=["amount", "worth", "changed_at"])
    write_audit(who, words, supply)
    return entry


def _said(supply: Supply, amount: Decimal) -> str:
    return f"{plain_number(Fraction(amount), 3)} {supply.get_unit_display()}"


def _told_apart(name: str, *, besides: Supply | None = None) -> None:
    if other := Supply.objects.filter(name__iexact=name).exclude(pk=besides.pk if besides else None).first():
        raise PlannerError(f"{other.name} is in the book already.", mend="Give this one another name.", field="name")


def _shown(supply: Supply, name: str) -> str:
    value = getattr(supply, name)
    if name == "kind":
        return str(supply.get_kind_display())
    if name == "low":
        return "nothing said" if value is None else _said(supply, value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) or "nothing"
